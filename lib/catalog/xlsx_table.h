// One worksheet of an .xlsx workbook (ECMA-376) as plain records. Called by read_table only.
//
// Read here over minizip and expat rather than through a spreadsheet library: docs/catalog.md says why.
#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <string>
#include <vector>

#include "catalog/raw_table.h"

namespace sherdmark {

struct XlsxTable {
  std::string sheet;
  RawTable table;  // blank rows left out
  std::vector<std::string> warnings;
};

[[nodiscard]] bool looks_like_zip(std::span<const std::byte> bytes);

// The first sheet whose first row `is_header` takes; failing that the first with two columns, or else with anything.
// Throws data_error for damage, for other kinds of zip file, and over the limits.
[[nodiscard]] XlsxTable read_xlsx(std::span<const std::byte> bytes, const std::string& file_name,
                                  const std::function<bool(const std::vector<std::string>&)>& is_header,
                                  const TableLimits& limits = {});

}  // namespace sherdmark
