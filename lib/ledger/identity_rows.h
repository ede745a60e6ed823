// Bags and prints are stored under the number their id spells, so that an id needs no index of its own.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace sherdmark {

// Row of a bag id ("B7KM00042") or of a serial ("7KM00042"): its last eight characters read as one base 32 number.
// -1, which is no row, for any other text.
[[nodiscard]] std::int64_t row_of_bag(std::string_view bag_id);
[[nodiscard]] std::int64_t row_of_serial(std::string_view serial);

// The SQL expression that spells the eight characters again from the column `id`.
[[nodiscard]] std::string identity_sql();

}  // namespace sherdmark
