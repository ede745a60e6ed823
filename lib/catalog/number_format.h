// A number in a workbook as the person sees it in the cell. Called by the .xlsx reader.
//
// The number formats are those of ECMA-376 part 1, 18.8.30 and 18.8.31 (numFmt), as far as catalogs use them.
#pragma once

#include <string>
#include <string_view>

namespace sherdmark {

// Shown with the format's zeros, letters and signs, so that 12.30 stays 12.30 and B007 stays B007; but never with
// fewer digits than the cell holds, and without thousands separators. Dates come as 2031-03-10, with the time if there
// is one; formats without a year as they look ("10-Mar", "Mar-31"); a number no date can have as "########".
[[nodiscard]] std::string show_number(double value, std::string_view format, bool starts_1904);

// Up to 15 significant digits, the most a workbook keeps; never in scientific notation below 1e15.
[[nodiscard]] std::string show_general(double value);

// The format of a built-in number; "General" for those of no use here.
[[nodiscard]] std::string_view builtin_format(int id);

}  // namespace sherdmark
