#include "ledger/unchecked_rows.h"

#include "sherdmark/base/error.h"

namespace sherdmark {

UncheckedRows::UncheckedRows(Database& database) : database_(database) {
  database_.execute("PRAGMA ignore_check_constraints = ON");
}

UncheckedRows::~UncheckedRows() {
  try {
    database_.execute("PRAGMA ignore_check_constraints = OFF");
  } catch (const Error&) {  // the connection is lost, and with it the setting
  }
}

}  // namespace sherdmark
