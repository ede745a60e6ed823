// A catalog number in a cell → a number of the house standard, or what is wrong with it. Called by the row reader.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/standard/house_standard.h"
#include "sherdmark/standard/scheme.h"

namespace sherdmark {

struct NumberReading {
  std::optional<Number> number{};
  std::vector<std::string> corrections{};  // certain, because the scheme leaves no other reading
  std::string problem{};                   // says nothing of the value
  std::string detail{};                    // does; left out for restricted columns
  std::string remedy{};
};

// `scheme` is that of the row's accession; null to try them all.
[[nodiscard]] NumberReading read_number(std::string_view text, const HouseStandard& standard, const Scheme* scheme);

// The canonical text of the number up to the last part of `level` or above, within the number's text; empty when no
// part has that very level.
[[nodiscard]] std::string_view prefix_of(const Number& number, const Scheme& scheme, NumberLevel level);

}  // namespace sherdmark
