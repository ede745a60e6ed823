#include "catalog/text_encoding.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr char32_t k_replacement = 0xFFFD;

// Code points of 0x80 to 0x9F in Windows-1252 (the WHATWG encoding index, from memory); 0 has no meaning.
constexpr std::array<char32_t, 32> k_windows_1252 = {0x20AC, 0,      0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021,
                                                     0x02C6, 0x2030, 0x0160, 0x2039, 0x0152, 0,      0x017D, 0,
                                                     0,      0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2013, 0x2014,
                                                     0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0,      0x017E, 0x0178};

void append(std::string& text, char32_t c) {
  if (c < 0x80) {
    text.push_back(static_cast<char>(c));
  } else {
    text += encode_utf8(std::u32string_view{&c, 1});
  }
}

bool starts_with(std::string_view bytes, std::string_view mark) { return bytes.substr(0, mark.size()) == mark; }

std::string from_windows_1252(std::string_view bytes) {
  std::string text;
  text.reserve(bytes.size() + bytes.size() / 8);
  for (const char byte : bytes) {
    char32_t c = static_cast<unsigned char>(byte);
    if (c >= 0x80 && c < 0xA0) c = k_windows_1252[c - 0x80] == 0 ? k_replacement : k_windows_1252[c - 0x80];
    append(text, c);
  }
  return text;
}

std::string from_utf16(std::string_view bytes, bool big_endian) {
  std::string text;
  text.reserve(bytes.size());
  const auto unit = [&](std::size_t i) {
    const auto first = static_cast<unsigned char>(bytes[i]);
    const auto second = static_cast<unsigned char>(bytes[i + 1]);
    return static_cast<char32_t>(big_endian ? (first << 8U) | second : (second << 8U) | first);
  };
  std::size_t i = 0;
  while (i + 1 < bytes.size()) {
    char32_t c = unit(i);
    i += 2;
    if (c >= 0xD800 && c <= 0xDFFF) {
      const char32_t low = c <= 0xDBFF && i + 1 < bytes.size() ? unit(i) : 0;
      const bool pair = low >= 0xDC00 && low <= 0xDFFF;
      c = pair ? 0x10000 + ((c - 0xD800) << 10U) + (low - 0xDC00) : k_replacement;
      if (pair) i += 2;
    }
    append(text, c);
  }
  if (i < bytes.size()) append(text, k_replacement);  // half a character at the end of a file that was cut off
  return text;
}

// Text of mostly Latin letters in UTF-16 has a zero in every other byte.
std::string_view utf16_without_mark(std::string_view bytes) {
  const std::string_view head = bytes.substr(0, 4096);
  if (head.size() < 4) return {};
  std::array<std::size_t, 2> zeros{};
  for (std::size_t i = 0; i < head.size(); ++i)
    if (head[i] == '\0') ++zeros[i % 2];
  const std::size_t many = head.size() * 2 / 5;  // of the half that could be
  if (zeros[1] * 2 >= many && zeros[0] * 20 <= zeros[1]) return "UTF-16LE";
  if (zeros[0] * 2 >= many && zeros[1] * 20 <= zeros[0]) return "UTF-16BE";
  return {};
}

// More than a stray NUL or two: a picture, a database, an archive.
bool is_binary(std::string_view bytes) {
  const std::string_view head = bytes.substr(0, 4096);
  const auto odd = std::count_if(head.begin(), head.end(), [](char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte < 0x20 && c != '\t' && c != '\n' && c != '\r' && c != '\f';
  });
  return odd > 8 && static_cast<std::size_t>(odd) * 20 > head.size();
}

}  // namespace

DecodedText decode_text(std::span<const std::byte> bytes, const std::string& file_name) {
  const std::string_view raw{reinterpret_cast<const char*>(bytes.data()), bytes.size()};
  using namespace std::string_view_literals;
  if (starts_with(raw, "\xFF\xFE\0\0"sv) || starts_with(raw, "\0\0\xFE\xFF"sv))
    throw data_error("The file is text in UTF-32, which no spreadsheet program asks for.", {.file = file_name},
                     "Save it again as CSV in UTF-8.");
  if (starts_with(raw, "\xFF\xFE")) return {from_utf16(raw.substr(2), false), "UTF-16LE", {}};
  if (starts_with(raw, "\xFE\xFF")) return {from_utf16(raw.substr(2), true), "UTF-16BE", {}};
  const bool marked = starts_with(raw, "\xEF\xBB\xBF");
  const std::string_view body = marked ? raw.substr(3) : raw;
  if (!marked) {
    const std::string_view wide = utf16_without_mark(body);
    if (!wide.empty()) return {from_utf16(body, wide == "UTF-16BE"), std::string{wide}, {}};
  }
  if (is_binary(body))
    throw data_error("The file is neither a CSV text nor an .xlsx workbook.", {.file = file_name},
                     "Give the catalog as CSV or .xlsx; a spreadsheet program can save it as either.");
  if (is_valid_utf8(body)) return {std::string{body}, "UTF-8", {}};
  return {from_windows_1252(body),
          "windows-1252",
          {"The file is not UTF-8; it was read as Windows-1252. Look at accented letters and degree signs before you "
           "go on, or save the file again as CSV UTF-8."}};
}

}  // namespace sherdmark
