// Cells that a spreadsheet would run as a formula get an apostrophe in front, and lose it again when they are read.
#pragma once

#include <string_view>

namespace sherdmark {

// True for any number of apostrophes, then white space, then a character that starts a formula. Guarding adds one
// apostrophe to such a cell and nothing to any other, so taking one away undoes it exactly: "'=1" becomes "''=1".
[[nodiscard]] bool needs_guard(std::string_view cell);

// Whether the first character of a cell that was read is such an apostrophe.
[[nodiscard]] bool has_guard(std::string_view cell);

}  // namespace sherdmark
