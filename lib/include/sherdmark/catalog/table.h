// A table as it stood in a file, before any meaning: what read_table makes and read_catalog, field logs and
// concordances read. Callable from anywhere.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace sherdmark {

// Where a cell lies in the text that holds all cells of a table.
struct TableCell {
  std::uint32_t at = 0;
  std::uint32_t length = 0;
};

// One row, seen through its table: good while the table lives and stays where it is.
class TableRow {
 public:
  TableRow(std::string_view text, const TableCell* cells, std::size_t count)
      : text_(text), cells_(cells), count_(count) {}

  [[nodiscard]] std::size_t size() const { return count_; }
  [[nodiscard]] std::string_view operator[](std::size_t column) const {
    const TableCell& cell = cells_[column];
    return {text_.data() + cell.at, cell.length};
  }
  [[nodiscard]] std::vector<std::string> texts() const;

 private:
  std::string_view text_;
  const TableCell* cells_;
  std::size_t count_;
};

// All rows of a table: one text, and where in it the cells are, for a table of 100,000 rows has a million cells.
class TableRows {
 public:
  struct Range {  // of the cells of one row
    std::uint32_t first = 0;
    std::uint32_t count = 0;
  };

  TableRows() = default;
  // Every range must lie within `cells`, and every cell within `text`.
  TableRows(std::string text, std::vector<TableCell> cells, std::vector<Range> rows)
      : text_(std::move(text)), cells_(std::move(cells)), rows_(std::move(rows)) {}

  [[nodiscard]] std::size_t size() const { return rows_.size(); }
  [[nodiscard]] bool empty() const { return rows_.empty(); }
  [[nodiscard]] TableRow operator[](std::size_t row) const {
    return {text_, cells_.data() + rows_[row].first, rows_[row].count};
  }
  [[nodiscard]] std::vector<std::vector<std::string>> texts() const;
  // Gives the memory of the cells back: all rows are still there, without cells.
  void forget_cells();

 private:
  std::string text_;
  std::vector<TableCell> cells_;
  std::vector<Range> rows_;
};

// Something wrong with the shape of a row rather than with a value: too few cells, a stray quotation mark.
struct TableProblem {
  std::size_t row_index = 0;  // into Table::rows
  std::string column;         // header text; empty when it is the row as a whole
  std::string what;
  std::string remedy;
};

// Cells are UTF-8 as written.
struct Table {
  std::string file;
  std::string encoding;  // "UTF-8", "UTF-16LE", "windows-1252", "xlsx"
  char separator = ',';  // 0 for xlsx
  std::vector<std::string> header;
  TableRows rows;                        // rows[i] is file row `row_numbers[i]`; each at least as wide as the header
  std::vector<std::size_t> row_numbers;  // 1-based; a record with quoted newlines counts as one row
  std::vector<std::string> warnings;     // e.g. "read as Windows-1252"
  std::size_t header_row = 1;            // file row of the header
  std::vector<TableProblem> problems;    // rows that read_catalog will set aside
};

}  // namespace sherdmark
