// Plain text work that every layer needs. All text inside the library is UTF-8; nothing here depends on the locale.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace sherdmark {

// UTF-8 to code points. An invalid byte yields std::nullopt (overlong forms and surrogates are invalid).
[[nodiscard]] std::optional<std::u32string> decode_utf8(std::string_view bytes);
[[nodiscard]] std::string encode_utf8(std::u32string_view code_points);
[[nodiscard]] bool is_valid_utf8(std::string_view bytes);
// Number of code points; invalid bytes count as one each.
[[nodiscard]] std::size_t code_point_count(std::string_view bytes);

// ASCII white space only.
[[nodiscard]] std::string_view trim(std::string_view text);
[[nodiscard]] std::vector<std::string> split(std::string_view text, char separator);
[[nodiscard]] std::string join(const std::vector<std::string>& parts, std::string_view separator);
// ASCII letters only; other bytes are left alone.
[[nodiscard]] std::string to_upper_ascii(std::string_view text);
[[nodiscard]] std::string to_lower_ascii(std::string_view text);
// Whole text must be a decimal integer; otherwise std::nullopt. Overflow is std::nullopt too.
[[nodiscard]] std::optional<std::int64_t> parse_integer(std::string_view text);
// Whole text must be a finite decimal number with a point; otherwise std::nullopt.
[[nodiscard]] std::optional<double> parse_decimal(std::string_view text);

// The text with control characters, escape sequences, bidi controls and invalid bytes replaced by visible
// escapes (\xNN, \u{NNNN}), safe to send to a terminal or to quote in an error.
[[nodiscard]] std::string printable(std::string_view text);
// The same, but line ends stay: for messages of several lines.
[[nodiscard]] std::string printable_lines(std::string_view text);

}  // namespace sherdmark
