// Counts in words. Private to report.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace sherdmark {

// "1 label", "3 labels".
[[nodiscard]] std::string plural(std::int64_t n, std::string_view one, std::string_view many);

// "box 14", but "Box 14" where the box is called that.
[[nodiscard]] std::string box_words(const std::string& name);

}  // namespace sherdmark
