#include "catalog/csv_parse.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <utility>
#include <vector>

#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

// Walks one text record by record. The cells stay where they are in it; a cell that holds doubled quotation marks
// closes up over those that are left out, so the text is changed, but never before the place that was read.
class CsvReader {
 public:
  CsvReader(std::string& text, std::size_t start, char separator, std::size_t most_columns)
      : text_(text), separator_(separator), most_columns_(most_columns), at_(start) {
    for (const char c : {separator, '\n', '\r'}) ends_cell_[static_cast<unsigned char>(c)] = true;
  }

  [[nodiscard]] bool at_end() const { return at_ >= text_.size(); }

  // Appends the cells of one record; columns with text behind a closing quotation mark, from 1, go into `stray`. False
  // when a quotation mark opened and never closed; then the cells are what was read.
  bool read(std::vector<TableCell>& cells, std::vector<std::size_t>& stray) {
    for (std::size_t column = 1;; ++column) {
      bool spoilt = false;
      const bool quoted = at_ < text_.size() && text_[at_] == '"';
      const std::size_t start = quoted ? at_ + 1 : at_;
      const std::size_t end = quoted ? read_quoted(spoilt) : read_plain();
      cells.push_back({static_cast<std::uint32_t>(start), static_cast<std::uint32_t>(end - start)});
      if (end == k_never_closed) {
        cells.back().length = 0;
        return false;
      }
      if (spoilt) stray.push_back(column);
      if (column > most_columns_ || at_ >= text_.size()) return true;  // too many: the caller refuses it
      const char c = text_[at_++];
      if (c == separator_) continue;
      if (c == '\r' && at_ < text_.size() && text_[at_] == '\n') ++at_;
      return true;
    }
  }

 private:
  static constexpr std::size_t k_never_closed = std::string::npos;

  [[nodiscard]] bool ends_cell(char c) const { return ends_cell_[static_cast<unsigned char>(c)]; }

  // Where the cell ends.
  std::size_t read_plain() {
    const char* const text = text_.data();
    const std::size_t size = text_.size();
    while (at_ < size && !ends_cell(text[at_])) ++at_;
    return at_;
  }

  // Moves a piece of the text to its place in the cell; where that ends.
  std::size_t close_up(std::size_t from, std::size_t end, std::size_t to) {
    if (from != to) std::memmove(text_.data() + to, text_.data() + from, end - from);
    return to + (end - from);
  }

  std::size_t read_quoted(bool& spoilt) {
    std::size_t kept = ++at_;
    while (true) {
      const std::size_t quote = text_.find('"', at_);
      if (quote == std::string::npos) {
        at_ = text_.size();
        return k_never_closed;
      }
      const bool doubled = quote + 1 < text_.size() && text_[quote + 1] == '"';
      const bool stray = !doubled && quote + 1 < text_.size() && !ends_cell(text_[quote + 1]);
      kept = close_up(at_, doubled || stray ? quote + 1 : quote, kept);
      at_ = quote + (doubled ? 2 : 1);
      if (doubled) continue;
      if (stray) {
        spoilt = true;
        const std::size_t from = at_;
        kept = close_up(from, read_plain(), kept);
      }
      return kept;
    }
  }

  std::string& text_;
  char separator_;
  std::array<bool, 256> ends_cell_{};
  std::size_t most_columns_;
  std::size_t at_;
};

bool is_blank(const TableRow& record) {
  for (std::size_t i = 0; i < record.size(); ++i)
    if (record[i].find_first_not_of(" \t\r\n") != std::string_view::npos) return false;
  return true;
}

// How well a separator explains the first records: columns of the header, and how many records have as many.
std::pair<std::size_t, std::size_t> fit_of(std::string_view text, char separator) {
  std::string head{text.substr(0, std::size_t{64} << 10U)};
  CsvReader reader{head, 0, separator, TableLimits{}.columns};
  std::vector<TableCell> cells;
  std::vector<std::size_t> stray;
  std::size_t columns = 0;
  std::size_t even = 0;
  for (int seen = 0; seen < 50 && !reader.at_end();) {
    cells.clear();
    const bool whole = reader.read(cells, stray);
    if (whole && is_blank({head, cells.data(), cells.size()})) continue;
    if (columns == 0) columns = cells.size();
    if (whole && cells.size() == columns) ++even;
    ++seen;
  }
  return {columns, even};
}

void check_size(const RawTable& table, std::size_t columns, std::size_t row, const std::string& file_name,
                const TableLimits& limits) {
  if (columns > limits.columns)
    throw data_error(fmt::format("A row has more than {} columns.", limits.columns), {.file = file_name, .row = row},
                     "Check that this is a catalog, and how it was saved.");
  if (table.records.size() > limits.rows || table.cells.size() > limits.cells)
    throw data_error(fmt::format("The table has more than {} rows or {} cells.", limits.rows, limits.cells),
                     {.file = file_name, .row = row}, "Split the catalog into several files.");
}

}  // namespace

char sniff_separator(std::string_view text) {
  char best = ',';
  std::pair<std::size_t, std::size_t> best_fit{0, 0};  // records that agree, then columns
  for (const char separator : {',', ';', '\t'}) {
    const auto [columns, even] = fit_of(text, separator);
    if (columns < 2) continue;
    if (std::pair{even, columns} > best_fit) {
      best = separator;
      best_fit = {even, columns};
    }
  }
  return best;
}

RawTable parse_csv(std::string text, std::size_t skip, char separator, const std::string& file_name,
                   const TableLimits& limits) {
  if (text.size() > limits.file_bytes)
    throw data_error(fmt::format("The text has more than {} bytes.", limits.file_bytes), {.file = file_name},
                     "Split the catalog into several files.");
  RawTable table;
  table.text = std::move(text);
  const std::size_t lines = static_cast<std::size_t>(std::count(table.text.begin(), table.text.end(), '\n')) + 1;
  table.records.reserve(std::min(lines, limits.rows));
  table.row_numbers.reserve(std::min(lines, limits.rows));
  CsvReader reader{table.text, skip, separator, limits.columns};
  std::vector<std::size_t> stray;
  for (std::size_t row = 1; !reader.at_end(); ++row) {
    const std::size_t first = table.cells.size();
    stray.clear();
    if (!reader.read(table.cells, stray))
      throw data_error("A quotation mark opens in this row and never closes.", {.file = file_name, .row = row},
                       "Find the cell in this row that begins with \" and close it, or double a \" that is meant as "
                       "itself.");
    const std::size_t columns = table.cells.size() - first;
    if (is_blank({table.text, table.cells.data() + first, columns})) {
      table.cells.resize(first);
      continue;
    }
    if (table.records.empty()) table.cells.reserve(std::min(lines * columns, limits.cells) + columns);
    check_size(table, columns, row, file_name, limits);
    for (const std::size_t column : stray)
      table.oddities.push_back({table.records.size(), column, Oddity::text_after_quote});
    for (std::size_t i = 0; i < columns; ++i)
      if (table.cells[first + i].length > limits.cell_bytes)
        table.oddities.push_back({table.records.size(), i + 1, Oddity::oversize});
    table.records.push_back({static_cast<std::uint32_t>(first), static_cast<std::uint32_t>(columns)});
    table.row_numbers.push_back(row);
  }
  return table;
}

}  // namespace sherdmark
