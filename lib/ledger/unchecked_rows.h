// Rows inserted by the thousand, whose values the caller has checked.
#pragma once

#include "ledger/sqlite.h"

namespace sherdmark {

// CHECKs are not evaluated while this lives; the caller checks what it inserts. SQLite builds the list of an "IN (…)"
// anew for every row of a bulk insert, which costs as much as the insert itself.
class UncheckedRows {
 public:
  explicit UncheckedRows(Database& database);
  ~UncheckedRows();
  UncheckedRows(const UncheckedRows&) = delete;
  UncheckedRows& operator=(const UncheckedRows&) = delete;
  UncheckedRows(UncheckedRows&&) = delete;
  UncheckedRows& operator=(UncheckedRows&&) = delete;

 private:
  Database& database_;
};

}  // namespace sherdmark
