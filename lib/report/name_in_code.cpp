#include "sherdmark/report/name_in_code.h"

#include "sherdmark/base/text.h"
#include "sherdmark/ledger/scanned_code.h"

namespace sherdmark {

std::string name_in_code(const Ledger& ledger, const std::string& asked) {
  const LinkReading code = parse_code_text(trim(asked));
  if (code.micro) return code.micro->number;
  if (!code.link) return asked;
  require_ours(ledger, *code.link);
  return code.link->subject.empty() ? code.link->number : code.link->subject;
}

}  // namespace sherdmark
