// What is true of a bag or an item just now, as sentences with a key for JSON.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "sherdmark/ledger/standing.h"

namespace sherdmark {

using StandingWords = std::vector<std::pair<std::string, std::string>>;
[[nodiscard]] StandingWords standing_words(const BagStanding& standing);
// Without what the house standard restricts.
[[nodiscard]] StandingWords standing_words(const ItemStanding& standing, const HouseStandard& standard);

}  // namespace sherdmark
