#include "whole_words.h"

#include <string>

#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

bool is_word_byte(char c) {
  const auto byte = static_cast<unsigned char>(c);
  return byte >= 0x80 || (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z');
}

}  // namespace

bool has_words(std::string_view text, std::string_view words) {
  const std::string haystack = to_lower_ascii(text);
  const std::string needle = to_lower_ascii(trim(words));
  if (needle.empty()) return false;
  for (std::size_t at = haystack.find(needle); at != std::string::npos; at = haystack.find(needle, at + 1)) {
    const std::size_t end = at + needle.size();
    if ((at == 0 || !is_word_byte(haystack[at - 1])) && (end == haystack.size() || !is_word_byte(haystack[end])))
      return true;
  }
  return false;
}

}  // namespace sherdmark
