// What the CSV and the .xlsx reader both hand to read_table: records with what was odd about them.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace sherdmark {

// Bounds that keep memory and time in hand whatever the file says.
struct TableLimits {
  std::size_t cell_bytes = 131'068;  // 32,767 characters of up to 4 bytes: the most a spreadsheet cell holds
  std::size_t columns = 1'024;
  std::size_t rows = 1'048'576;  // as a spreadsheet
  std::size_t cells = 16'000'000;
  std::size_t text_bytes = std::size_t{256} << 20U;
};

enum class Oddity {
  text_after_quote,       // "abc"def: read as abc"def
  oversize,               // over TableLimits::cell_bytes
  formula_without_result  // .xlsx: the file holds a formula but not what it came to
};

struct RawOddity {
  std::size_t column = 0;  // counts from 1
  Oddity what = Oddity::oversize;
};

struct RawRecord {
  std::size_t row = 0;  // counts records from 1, blank ones too
  std::vector<std::string> cells;
  std::vector<RawOddity> oddities;
};

}  // namespace sherdmark
