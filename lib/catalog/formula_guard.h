// Cells that a spreadsheet would run as a formula get an apostrophe in front, and lose it again when they are read.
#pragma once

#include <string>
#include <string_view>

namespace sherdmark {

// True for any number of apostrophes, then white space, then a character that starts a formula. Guarding adds one
// apostrophe to such a cell and nothing to any other, so taking one away undoes it exactly: "'=1" becomes "''=1".
[[nodiscard]] bool needs_guard(std::string_view cell);

// Undoes the guard in place.
void remove_guard(std::string& cell);

}  // namespace sherdmark
