// What the CSV and the .xlsx reader both hand to read_table: records with what was odd about them.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/catalog/table.h"

namespace sherdmark {

// Bounds that keep memory and time in hand whatever the file says.
struct TableLimits {
  std::size_t cell_bytes = 131'068;  // 32,767 characters of up to 4 bytes: the most a spreadsheet cell holds
  std::size_t columns = 1'024;
  std::size_t rows = 1'048'576;  // as a spreadsheet
  std::size_t cells = 16'000'000;
  std::size_t text_bytes = std::size_t{256} << 20U;  // of a workbook's cells
  std::size_t file_bytes = UINT32_MAX;               // of a text: cells are found by offsets of 32 bits
};

enum class Oddity {
  text_after_quote,       // "abc"def: read as abc"def
  oversize,               // over TableLimits::cell_bytes
  formula_without_result  // .xlsx: the file holds a formula but not what it came to
};

struct RawOddity {
  std::size_t record = 0;  // index into RawTable::records
  std::size_t column = 0;  // counts from 1
  Oddity what = Oddity::oversize;
};

// Records in file order; their cells lie in one text.
struct RawTable {
  std::string text;
  std::vector<TableCell> cells;
  std::vector<TableRows::Range> records;
  std::vector<std::size_t> row_numbers;  // of each record: counts from 1, blank ones too
  std::vector<RawOddity> oddities;       // by record

  [[nodiscard]] TableRow record(std::size_t index) const {
    return {text, cells.data() + records[index].first, records[index].count};
  }
};

}  // namespace sherdmark
