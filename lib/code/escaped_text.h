// Any text as 0-9 and A-Z only, and back (docs/formats/link-code.md, "escaped text"). One spelling for one text.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace sherdmark {

inline constexpr std::string_view k_end_of_field = "Z9";

// Base-36 digit of 0-9A-Z, -1 for anything else.
[[nodiscard]] int base36_value(char c);
[[nodiscard]] char base36_digit(int value);  // 0 … 35

[[nodiscard]] std::string escape_text(std::u32string_view text);

// Takes one escaped text off the front of `rest`, up to the end of field, which is taken off too; without an end of
// field, when `to_the_end`, the whole of `rest`. std::nullopt: not the one canonical spelling of any text.
[[nodiscard]] std::optional<std::u32string> take_escaped_text(std::string_view& rest, bool to_the_end);

}  // namespace sherdmark
