#include "sherdmark/report/name_in_code.h"

#include <fmt/format.h>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/code/link_code.h"

namespace sherdmark {

std::string name_in_code(const Ledger& ledger, const std::string& asked) {
  const LinkReading code = parse_code_text(trim(asked));
  if (code.micro) return code.micro->number;
  if (!code.link) return asked;
  if (code.link->collection_key != ledger.collection_key())
    throw usage_error(fmt::format("this is a label of another collection, {}", printable(code.link->collection_key)),
                      "lay it aside and tell whoever keeps that collection");
  return code.link->subject.empty() ? code.link->number : code.link->subject;
}

}  // namespace sherdmark
