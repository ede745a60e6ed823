// Care flags as the ledger holds them: people write "Human remains" and "human_remains", and mean the same.
#pragma once

#include <string>
#include <string_view>

#include "ledger/core.h"

namespace sherdmark {

// `flags_json`: a list of texts, as the items hold them.
[[nodiscard]] bool holds_care_flag(const HouseStandard& standard, std::string_view flags_json);

// Every spelling of a care flag that stands in the standard or with an item, as a JSON list in alphabetical order: what
// SQL compares with, so that a comparison letter by letter is right.
[[nodiscard]] std::string care_flag_spellings(const LedgerCore& core);

}  // namespace sherdmark
