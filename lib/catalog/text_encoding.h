// Bytes of a text file → UTF-8, with the encoding told from the bytes alone. Called by read_table only.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace sherdmark {

struct DecodedText {
  std::string text;      // UTF-8 without byte order mark; bytes that mean nothing became U+FFFD
  std::string encoding;  // "UTF-8", "UTF-16LE", "UTF-16BE", "windows-1252"
  std::vector<std::string> warnings;
};

// Never fails on damaged text; throws data_error for UTF-32 and for bytes that are no text at all.
[[nodiscard]] DecodedText decode_text(std::span<const std::byte> bytes, const std::string& file_name);

}  // namespace sherdmark
