// A field log: which field number belongs to which lot. CSV or .xlsx, read by read_table; one row a field number.
// Pure: a table comes in, values go out. Called by the tool before bind_field_numbers (ledger/ledger.h).
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "sherdmark/catalog/read_catalog.h"

namespace sherdmark {

// One good row, canonical. Fields that are not given are empty.
struct FieldLogRow {
  std::size_t row = 0;  // 1-based row of the file
  std::string number;   // field number
  std::string lot;      // number of a lot
  std::string crew;     // whose block the number is from
  std::string unit, stratum, level, feature;
};

struct FieldLogReading {
  std::vector<FieldLogRow> rows;         // good rows only, in file order
  std::vector<CatalogProblem> problems;  // in file order; warnings say what was put right
  bool whole_file_bad = false;           // the header has no column for field number or lot
  [[nodiscard]] bool good() const;       // no problem but warnings
};

// The field number's column is found as in a catalog (docs/catalog.md); the lot's is called "lot", "lot number" or
// "provenience", or is the catalog's column for numbers. "101", "fs 101" and "FS101" are read as the field number
// FS 101 when the standard builds them so; a number of another form is taken as it stands. Never throws for what the
// table says.
[[nodiscard]] FieldLogReading read_field_log(const Table& table, const HouseStandard& standard);

}  // namespace sherdmark
