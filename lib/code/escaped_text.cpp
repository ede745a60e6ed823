#include "code/escaped_text.h"

#include <algorithm>

namespace sherdmark {
namespace {

// Second character of a two-character escape, frozen. Z5 opens a code point by number, Z9 ends a field, ZA … ZZ are
// the small letters.
struct Short {
  char32_t character;
  char digit;
};
constexpr Short k_short[] = {{U'Z', '0'}, {U'-', '1'}, {U'.', '2'}, {U'/', '3'},
                             {U' ', '4'}, {U':', '6'}, {U'(', '7'}, {U')', '8'}};
constexpr char k_by_number = '5';
constexpr char k_end = '9';
constexpr int k_most_digits = 4;  // 36^4 is more than 0x10FFFF

bool is_literal(char32_t c) { return (c >= U'0' && c <= U'9') || (c >= U'A' && c <= U'Y'); }
bool is_small_letter(char32_t c) { return c >= U'a' && c <= U'z'; }
bool is_scalar(char32_t c) { return c <= 0x10FFFF && !(c >= 0xD800 && c <= 0xDFFF); }

bool has_short_form(char32_t c) {
  return is_literal(c) || is_small_letter(c) ||
         std::any_of(std::begin(k_short), std::end(k_short), [c](const Short& s) { return s.character == c; });
}

std::string base36(char32_t value) {
  std::string digits;
  do {
    digits.insert(digits.begin(), base36_digit(static_cast<int>(value % 36)));
    value /= 36;
  } while (value > 0);
  return digits;
}

void escape_one(char32_t c, std::string& out) {
  if (is_literal(c)) {
    out.push_back(static_cast<char>(c));
    return;
  }
  out.push_back('Z');
  if (is_small_letter(c)) {
    out.push_back(static_cast<char>(c - U'a' + U'A'));
    return;
  }
  for (const Short& s : k_short) {
    if (s.character != c) continue;
    out.push_back(s.digit);
    return;
  }
  const std::string digits = base36(c);
  out.push_back(k_by_number);
  out.push_back(base36_digit(static_cast<int>(digits.size())));
  out += digits;
}

// After "Z5": a length digit and that many base-36 digits without leading zeros.
std::optional<char32_t> take_number(std::string_view& rest) {
  if (rest.empty()) return std::nullopt;
  const int length = base36_value(rest.front());
  if (length < 1 || length > k_most_digits || rest.size() <= static_cast<std::size_t>(length)) return std::nullopt;
  if (length > 1 && rest[1] == '0') return std::nullopt;
  char32_t value = 0;
  for (int i = 1; i <= length; ++i) {
    const int digit = base36_value(rest[static_cast<std::size_t>(i)]);
    if (digit < 0) return std::nullopt;
    value = value * 36 + static_cast<char32_t>(digit);
  }
  rest.remove_prefix(static_cast<std::size_t>(length) + 1);
  if (!is_scalar(value) || has_short_form(value)) return std::nullopt;
  return value;
}

}  // namespace

int base36_value(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'A' && c <= 'Z') return c - 'A' + 10;
  return -1;
}

char base36_digit(int value) { return static_cast<char>(value < 10 ? '0' + value : 'A' + value - 10); }

std::string escape_text(std::u32string_view text) {
  std::string out;
  for (const char32_t c : text) escape_one(c, out);
  return out;
}

std::optional<std::u32string> take_escaped_text(std::string_view& rest, bool to_the_end) {
  std::u32string text;
  while (!rest.empty()) {
    const char c = rest.front();
    rest.remove_prefix(1);
    if (base36_value(c) < 0) return std::nullopt;
    if (c != 'Z') {
      text.push_back(static_cast<char32_t>(c));
      continue;
    }
    if (rest.empty()) return std::nullopt;
    const char second = rest.front();
    rest.remove_prefix(1);
    if (second == k_end) {
      if (to_the_end) return std::nullopt;
      return text;
    }
    if (second == k_by_number) {
      const auto character = take_number(rest);
      if (!character) return std::nullopt;
      text.push_back(*character);
    } else if (second >= 'A' && second <= 'Z') {
      text.push_back(static_cast<char32_t>(second - 'A' + 'a'));
    } else {
      const auto* found =
          std::find_if(std::begin(k_short), std::end(k_short), [second](const Short& s) { return s.digit == second; });
      if (found == std::end(k_short)) return std::nullopt;
      text.push_back(found->character);
    }
  }
  if (!to_the_end) return std::nullopt;
  return text;
}

}  // namespace sherdmark
