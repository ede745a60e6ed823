// Options that are decimal numbers: lengths and sizes.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace sherdmark {

// Nothing when the text is empty; usage_error naming the option when it is no number in that range.
[[nodiscard]] std::optional<double> decimal_option(const std::string& option, const std::string& text, double least,
                                                   double most);
// "175.9,239.4" or "6.925in,9.425in" → both in mm; as many as lie between `fewest` and `most`, each above 0 and at most
// 2000 mm. A length may end in mm, cm, in or ", each its own; without a unit it is in mm.
[[nodiscard]] std::vector<double> lengths_option(const std::string& option, const std::string& text, std::size_t fewest,
                                                 std::size_t most);

}  // namespace sherdmark
