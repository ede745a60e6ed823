#include "sherdmark/standard/privacy.h"

#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

bool joins_words(char c) { return c == ' ' || c == '-' || c == '_'; }

std::string folded(std::string_view flag) {
  std::string out;
  for (const char c : to_lower_ascii(trim(flag))) {
    if (!joins_words(c))
      out += c;
    else if (out.empty() || out.back() != '_')
      out += '_';
  }
  return out;
}

}  // namespace

bool same_flag(std::string_view one, std::string_view other) { return folded(one) == folded(other); }

}  // namespace sherdmark
