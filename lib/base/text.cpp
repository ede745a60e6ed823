#include "sherdmark/base/text.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <cstdint>
#include <cstring>

namespace sherdmark {
namespace {

struct Decoded {
  char32_t code_point = 0;
  std::size_t length = 0;  // 0: invalid
};

Decoded decode_one(std::string_view bytes) {
  const auto byte = [&bytes](std::size_t i) { return static_cast<unsigned char>(bytes[i]); };
  const unsigned lead = byte(0);
  if (lead < 0x80) return {static_cast<char32_t>(lead), 1};
  const std::size_t length = lead >= 0xF0 ? 4U : lead >= 0xE0 ? 3U : 2U;
  if (lead < 0xC2 || lead > 0xF4 || bytes.size() < length) return {};
  char32_t value = lead & (0xFFU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(i) & 0xC0U) != 0x80U) return {};
    value = (value << 6U) | (byte(i) & 0x3FU);
  }
  constexpr char32_t k_smallest[] = {0, 0, 0x80, 0x800, 0x10000};
  if (value < k_smallest[length] || value > 0x10FFFF || (value >= 0xD800 && value <= 0xDFFF)) return {};
  return {value, length};
}

bool is_space(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f' || c == '\v'; }

// Characters that would steer a terminal or hide in a line rather than show.
bool is_unprintable(char32_t c) {
  return c < 0x20 || (c >= 0x7F && c <= 0x9F) || c == 0xAD || c == 0x61C || (c >= 0x200B && c <= 0x200F) ||
         (c >= 0x2028 && c <= 0x202E) || (c >= 0x2060 && c <= 0x206F) || c == 0xFEFF || (c >= 0xE0000 && c <= 0xE007F);
}

}  // namespace

std::optional<std::u32string> decode_utf8(std::string_view bytes) {
  std::u32string result;
  result.reserve(bytes.size());
  while (!bytes.empty()) {
    const Decoded one = decode_one(bytes);
    if (one.length == 0) return std::nullopt;
    result.push_back(one.code_point);
    bytes.remove_prefix(one.length);
  }
  return result;
}

std::string encode_utf8(std::u32string_view code_points) {
  std::string result;
  for (const char32_t c : code_points) {
    const auto put = [&result](char32_t value) { result.push_back(static_cast<char>(value)); };
    if (c < 0x80) {
      put(c);
    } else if (c < 0x800) {
      put(0xC0 | (c >> 6U)), put(0x80 | (c & 0x3F));
    } else if (c < 0x10000) {
      put(0xE0 | (c >> 12U)), put(0x80 | ((c >> 6U) & 0x3F)), put(0x80 | (c & 0x3F));
    } else {
      put(0xF0 | (c >> 18U)), put(0x80 | ((c >> 12U) & 0x3F)), put(0x80 | ((c >> 6U) & 0x3F)), put(0x80 | (c & 0x3F));
    }
  }
  return result;
}

bool is_valid_utf8(std::string_view bytes) {
  constexpr std::uint64_t k_high_bits = 0x8080808080808080U;
  while (!bytes.empty()) {
    if (std::uint64_t eight = 0; bytes.size() >= sizeof eight) {  // ASCII, eight at a time
      std::memcpy(&eight, bytes.data(), sizeof eight);
      if ((eight & k_high_bits) == 0) {
        bytes.remove_prefix(sizeof eight);
        continue;
      }
    }
    const Decoded one = decode_one(bytes);
    if (one.length == 0) return false;
    bytes.remove_prefix(one.length);
  }
  return true;
}

std::size_t code_point_count(std::string_view bytes) {
  std::size_t count = 0;
  while (!bytes.empty()) {
    const Decoded one = decode_one(bytes);
    bytes.remove_prefix(one.length == 0 ? 1 : one.length);
    ++count;
  }
  return count;
}

std::string_view trim(std::string_view text) {
  while (!text.empty() && is_space(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_space(text.back())) text.remove_suffix(1);
  return text;
}

std::vector<std::string> split(std::string_view text, char separator) {
  std::vector<std::string> parts;
  std::size_t start = 0;
  for (std::size_t i = 0; i <= text.size(); ++i) {
    if (i < text.size() && text[i] != separator) continue;
    parts.emplace_back(text.substr(start, i - start));
    start = i + 1;
  }
  return parts;
}

std::string join(const std::vector<std::string>& parts, std::string_view separator) {
  std::string result;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (i > 0) result += separator;
    result += parts[i];
  }
  return result;
}

std::string to_upper_ascii(std::string_view text) {
  std::string result{text};
  for (char& c : result)
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
  return result;
}

std::string to_lower_ascii(std::string_view text) {
  std::string result{text};
  for (char& c : result)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return result;
}

std::optional<std::int64_t> parse_integer(std::string_view text) {
  std::int64_t value = 0;
  const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (problem != std::errc{} || end != text.data() + text.size() || text.empty()) return std::nullopt;
  return value;
}

std::optional<double> parse_decimal(std::string_view text) {
  double value = 0;
  const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
  if (problem != std::errc{} || end != text.data() + text.size() || text.empty()) return std::nullopt;
  if (!std::isfinite(value)) return std::nullopt;
  return value;
}

std::string printable(std::string_view text) {
  std::string result;
  while (!text.empty()) {
    const Decoded one = decode_one(text);
    if (one.length == 0) {
      result += fmt::format("\\x{:02X}", static_cast<unsigned>(static_cast<unsigned char>(text[0])));
      text.remove_prefix(1);
      continue;
    }
    if (is_unprintable(one.code_point)) {
      result += fmt::format("\\u{{{:04X}}}", static_cast<std::uint32_t>(one.code_point));
    } else {
      result += text.substr(0, one.length);
    }
    text.remove_prefix(one.length);
  }
  return result;
}

std::string printable_lines(std::string_view text) {
  std::vector<std::string> lines = split(text, '\n');
  for (std::string& line : lines) line = printable(line);
  return join(lines, "\n");
}

}  // namespace sherdmark
