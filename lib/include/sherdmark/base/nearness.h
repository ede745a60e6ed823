// How near two written words are, to name what a person may have meant. Pure; called from any layer.
#pragma once

#include <cstddef>
#include <string_view>

namespace sherdmark {

// How many letters must be put in, taken out or changed to make one of the other; bytes, case counts.
[[nodiscard]] std::size_t letters_apart(std::string_view a, std::string_view b);

}  // namespace sherdmark
