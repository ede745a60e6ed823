#include "sherdmark/ledger/scanned_code.h"

#include <fmt/format.h>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {

void require_ours(const Ledger& ledger, const LinkCode& code) {
  if (code.collection_key != ledger.collection_key())
    throw usage_error(fmt::format("this is a label of another collection, {}", printable(code.collection_key)),
                      "lay it aside and tell whoever keeps that collection");
}

std::optional<LinkCode> scanned_code(const Ledger& ledger, const std::string& name) {
  const LinkReading reading = parse_code_text(trim(name));
  if (reading.link) require_ours(ledger, *reading.link);
  return reading.link;
}

}  // namespace sherdmark
