// Words of materials and surfaces, as rules and advice name them.
#pragma once

#include <string_view>

namespace sherdmark {

// Whether `words` stands in `text` as whole words, without regard to (ASCII) case: "iron" in "Iron, wrought" but not
// in "ironstone".
[[nodiscard]] bool has_words(std::string_view text, std::string_view words);

}  // namespace sherdmark
