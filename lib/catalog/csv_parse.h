// RFC 4180 records, read the way spreadsheet programs read them. Called by read_table only.
//
// Written here rather than taken from a library because every oddity must name its row and cost only that row:
// blank lines are counted, a quote that never closes is reported where it opened, text after a closing quote spoils
// its own row and nothing after it. tests/catalog judges it against libcsv.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "catalog/raw_table.h"

namespace sherdmark {

// ',', ';' or a tab, whichever divides the first records most evenly; ',' for a single column.
[[nodiscard]] char sniff_separator(std::string_view text);

// All records of the text behind its first `skip` bytes that are not blank. Throws data_error, with the row, for a
// quote that never closes and over the limits.
[[nodiscard]] RawTable parse_csv(std::string text, std::size_t skip, char separator, const std::string& file_name,
                                 const TableLimits& limits = {});

}  // namespace sherdmark
