// Dates as the catalog keeps them: Extended Date/Time Format (ISO 8601-2:2019), levels 0 and 1. Callable from anywhere.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace sherdmark {

// What is wrong with the text as an EDTF date of level 0 or 1, in words; std::nullopt when it is one. Impossible days
// (30 February) and intervals that end before they begin are wrong too.
[[nodiscard]] std::optional<std::string> edtf_problem(std::string_view text);

// A date the way people and spreadsheets write it → EDTF.
struct DateReading {
  std::string edtf;     // empty when there is a problem
  std::string problem;  // what is wrong
  std::string remedy;
  std::string warning;  // put right, and why that is certain
};

// EDTF goes through unchanged. Also taken: 10 March 2031, Mar 10, 2031, 10-Mar-2031; 2031/3/10; 3/10/2031 in the order
// that `date_order` ("ymd", "mdy", "dmy") says; 2031-03-10 00:00:00. Never guessed: years of two digits, a day and
// month without a year, a spreadsheet's day number.
[[nodiscard]] DateReading read_date(std::string_view text, std::string_view date_order);

}  // namespace sherdmark
