// Numbers in cells the way people and spreadsheets write them, and what spreadsheets do to cells. Called by the row
// reader.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "catalog/columns.h"
#include "sherdmark/standard/scheme.h"

namespace sherdmark {

// What a cell came to. Either `value` or `problem` is set for a cell that is not blank.
template <class Value>
struct CellReading {
  std::optional<Value> value{};
  std::string problem{};  // what is wrong
  std::string remedy{};
  std::string warning{};  // what was put right, and why it is certain
};

// A count: whole, 1 or more. "1,234" and "12.0" are put right; "1.5", "0", "ca 20" are problems.
[[nodiscard]] CellReading<std::int64_t> read_count(std::string_view text);

// A weight, volume, dimension or depth in the unit of the column's field. "12,5" is a decimal comma; "1,234" could be
// either and is a problem; a unit in the cell counts, and contradicts one in the header.
[[nodiscard]] CellReading<double> read_quantity(std::string_view text, const Column& column);

// "10-20", "10 to 20 cm", "0-10cmbs", or one depth for both ends.
struct DepthRange {
  double top_cm = 0;
  double bottom_cm = 0;
};
[[nodiscard]] CellReading<DepthRange> read_depth_range(std::string_view text, const Column& column);

// Damage that shows in any column: "#####" and error values such as #N/A. Empty if there is none.
[[nodiscard]] std::string_view general_damage(std::string_view text);

// A cell that a spreadsheet took for a date or a number in scientific notation: what it is, and what may have been
// typed ("3-10" from "10-Mar", "22E1" from "2.20E+02" or "220").
struct Damage {
  enum class Kind { none, date, scientific, day_number };
  Kind kind = Kind::none;
  std::vector<std::string> originals;  // most likely first; not checked against any scheme
};
[[nodiscard]] Damage find_damage(std::string_view text);
// Digits that may once have been digits, E and digits: "220" from "22E1". Empty for other texts.
[[nodiscard]] std::vector<std::string> before_scientific(std::string_view digits);

}  // namespace sherdmark
