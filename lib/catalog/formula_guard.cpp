#include "catalog/formula_guard.h"

#include <array>

namespace sherdmark {
namespace {

// OWASP Application Security Verification Standard 5, 1.2.10: = + - @ TAB NUL; CR and LF, and the full-width forms
// U+FF1D U+FF0B U+FF0D U+FF20, after newer published advice. The control characters count at the very start too.
bool starts_formula(std::string_view text) {
  using namespace std::string_view_literals;
  if (text.empty()) return false;
  if ("=+-@\t\r\n\0"sv.find(text.front()) != std::string_view::npos) return true;
  constexpr std::array<std::string_view, 4> k_full_width = {"\xEF\xBC\x9D", "\xEF\xBC\x8B", "\xEF\xBC\x8D",
                                                            "\xEF\xBC\xA0"};
  for (const std::string_view mark : k_full_width)
    if (text.substr(0, mark.size()) == mark) return true;
  return false;
}

}  // namespace

bool needs_guard(std::string_view cell) {
  const std::size_t quotes = cell.find_first_not_of('\'');
  if (quotes == std::string_view::npos) return false;
  cell.remove_prefix(quotes);
  const std::size_t spaces = cell.find_first_not_of(' ');
  if (spaces == std::string_view::npos) return false;
  cell.remove_prefix(spaces);
  return starts_formula(cell);
}

bool has_guard(std::string_view cell) { return !cell.empty() && cell.front() == '\'' && needs_guard(cell); }

}  // namespace sherdmark
