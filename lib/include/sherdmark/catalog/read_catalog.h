// A catalog file → good rows and problems, in one pass. Pure apart from nothing: bytes come in, values go out.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "sherdmark/base/files.h"
#include "sherdmark/catalog/rows.h"
#include "sherdmark/catalog/table.h"

namespace sherdmark {

enum class Severity { warning, problem };

// What is wrong with one value: enough to find it and to put it right.
struct CatalogProblem {
  Severity severity = Severity::problem;
  std::string file;
  std::size_t row = 0;
  std::string column;  // header text
  std::string value;   // as written; empty for restricted columns
  std::string what;
  std::string remedy;
};

struct CatalogReading {
  Table table;
  std::vector<CatalogRow> rows;             // good rows only, file order
  std::vector<CatalogProblem> problems;     // file order
  std::vector<std::size_t> bad_table_rows;  // indexes into table.rows that are not in `rows`
  bool whole_file_bad = false;              // the header cannot be used: no row can be taken
  [[nodiscard]] bool good() const { return bad_table_rows.empty() && !whole_file_bad; }
};

// CSV (RFC 4180 and what spreadsheets write) or .xlsx, told apart by content. Blank rows and trailing blank columns are
// left out; the first column of a set-aside file is dropped. Throws data_error if it is neither, for an empty file, for
// a quotation mark that never closes (with its row), for damage, and over the limits of docs/catalog.md.
[[nodiscard]] Table read_table(std::span<const std::byte> bytes, const std::string& file_name);

// Maps headers, converts and checks every cell of every row, and the rows against each other. Never throws for what the
// table says; data_error when the standard's [columns] names a field that does not exist.
[[nodiscard]] CatalogReading read_catalog(Table table, const HouseStandard& standard);

// RFC 4180 text, UTF-8 with BOM. Cells that a spreadsheet would take for a formula are neutralised with a leading
// apostrophe, which read_table strips again: every cell of UTF-8 text comes back as it was.
[[nodiscard]] std::string write_csv(const std::vector<std::string>& header,
                                    const std::vector<std::vector<std::string>>& rows);

// --set-aside: the bad rows in the same columns, with a first column saying what is wrong.
[[nodiscard]] std::string write_set_aside(const CatalogReading& reading);

// Good rows as a catalog again. Columns that the standard restricts are left out unless `include_restricted`; read with
// the same standard, the file gives the same rows (row numbers apart, and restricted fields if they were left out).
[[nodiscard]] std::string write_catalog_csv(const std::vector<CatalogRow>& rows, const HouseStandard& standard,
                                            bool include_restricted);

// The canonical field names and their synonyms (docs/catalog.md); used for mapping and for `export`.
[[nodiscard]] const std::vector<std::string>& catalog_fields();

}  // namespace sherdmark
