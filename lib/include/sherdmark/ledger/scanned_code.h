// Codes that are scanned where a name may be typed. Another collection's stations may have the codes of ours, and then
// its bags and prints have our ids and serials: its labels are refused. Callable from report and tools.
#pragma once

#include <optional>
#include <string>

#include "sherdmark/code/link_code.h"
#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

// usage_error when the label is another collection's.
void require_ours(const Ledger& ledger, const LinkCode& code);

// What the code says that was scanned for a name; nothing when it is no code. usage_error as above.
[[nodiscard]] std::optional<LinkCode> scanned_code(const Ledger& ledger, const std::string& name);

}  // namespace sherdmark
