#pragma once

#include <string_view>

namespace sherdmark::architecture {

// True for headers of the C++ standard library and of POSIX.
[[nodiscard]] bool is_standard_header(std::string_view name);

}  // namespace sherdmark::architecture
