// What --for names, and the choice of labels that goes with it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

// "bags", "field-tags", "action-cards" … usage_error that lists them all.
[[nodiscard]] LabelRole parse_label_role(std::string_view text);
[[nodiscard]] bool is_card(LabelRole role);

// --only for that role: field numbers like 101-125, else names with commas between.
[[nodiscard]] std::vector<std::string> parse_only(const HouseStandard& standard, LabelRole role, std::string_view text);

}  // namespace sherdmark
