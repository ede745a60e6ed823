// Counts in words. Private to report.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace sherdmark {

// "1 label", "3 labels".
[[nodiscard]] std::string plural(std::int64_t n, std::string_view one, std::string_view many);

}  // namespace sherdmark
