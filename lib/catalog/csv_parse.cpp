#include "catalog/csv_parse.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

// Walks one text record by record.
class CsvReader {
 public:
  CsvReader(std::string_view text, char separator, std::size_t most_columns)
      : text_(text), separator_(separator), most_columns_(most_columns) {}

  [[nodiscard]] bool at_end() const { return at_ >= text_.size(); }

  // Reads one record into `record`. False when a quote opened and never closed; the record then holds what was read.
  bool read(RawRecord& record) {
    record.cells.clear();
    record.oddities.clear();
    while (true) {
      std::string& cell = record.cells.emplace_back();
      if (record.cells.size() > most_columns_) return true;  // the caller refuses it
      if (at_ < text_.size() && text_[at_] == '"') {
        if (!read_quoted(record)) return false;
      } else {
        read_plain(cell);
      }
      if (at_ >= text_.size()) return true;
      const char c = text_[at_++];
      if (c == separator_) continue;
      if (c == '\r' && at_ < text_.size() && text_[at_] == '\n') ++at_;
      return true;
    }
  }

 private:
  [[nodiscard]] bool ends_cell(char c) const { return c == separator_ || c == '\n' || c == '\r'; }

  void read_plain(std::string& cell) {
    const std::size_t start = at_;
    while (at_ < text_.size() && !ends_cell(text_[at_])) ++at_;
    cell.append(text_, start, at_ - start);
  }

  bool read_quoted(RawRecord& record) {
    std::string& cell = record.cells.back();
    ++at_;
    while (true) {
      const std::size_t quote = text_.find('"', at_);
      if (quote == std::string_view::npos) {
        cell.append(text_, at_, std::string_view::npos);
        at_ = text_.size();
        return false;
      }
      cell.append(text_, at_, quote - at_);
      at_ = quote + 1;
      if (at_ < text_.size() && text_[at_] == '"') {
        cell.push_back('"');
        ++at_;
        continue;
      }
      if (at_ < text_.size() && !ends_cell(text_[at_])) {
        record.oddities.push_back({record.cells.size(), Oddity::text_after_quote});
        cell.push_back('"');
        read_plain(cell);
      }
      return true;
    }
  }

  std::string_view text_;
  char separator_;
  std::size_t most_columns_;
  std::size_t at_ = 0;
};

bool is_blank(const std::vector<std::string>& cells) {
  return std::all_of(cells.begin(), cells.end(),
                     [](const std::string& cell) { return cell.find_first_not_of(" \t\r\n") == std::string::npos; });
}

// How well a separator explains the first records: columns of the header, and how many records have as many.
std::pair<std::size_t, std::size_t> fit_of(std::string_view text, char separator) {
  CsvReader reader{text.substr(0, std::size_t{64} << 10U), separator, TableLimits{}.columns};
  RawRecord record;
  std::size_t columns = 0;
  std::size_t even = 0;
  for (int seen = 0; seen < 50 && !reader.at_end();) {
    const bool whole = reader.read(record);
    if (is_blank(record.cells)) continue;
    if (columns == 0) columns = record.cells.size();
    if (whole && record.cells.size() == columns) ++even;
    ++seen;
  }
  return {columns, even};
}

void check_size(const RawRecord& record, std::size_t cells, std::size_t rows, const std::string& file_name,
                const TableLimits& limits) {
  if (record.cells.size() > limits.columns)
    throw data_error(fmt::format("A row has more than {} columns.", limits.columns),
                     {.file = file_name, .row = record.row}, "Check that this is a catalog, and how it was saved.");
  if (rows > limits.rows || cells > limits.cells)
    throw data_error(fmt::format("The table has more than {} rows or {} cells.", limits.rows, limits.cells),
                     {.file = file_name, .row = record.row}, "Split the catalog into several files.");
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

std::vector<RawRecord> parse_csv(std::string_view text, char separator, const std::string& file_name,
                                 const TableLimits& limits) {
  CsvReader reader{text, separator, limits.columns};
  std::vector<RawRecord> records;
  records.reserve(std::min<std::size_t>(text.size() / 64 + 1, limits.rows));
  std::size_t row = 0;
  std::size_t cells = 0;
  RawRecord record;
  while (!reader.at_end()) {
    record.row = ++row;
    record.cells.reserve(records.empty() ? 16 : records.front().cells.size());
    if (!reader.read(record))
      throw data_error("A quotation mark opens in this row and never closes.", {.file = file_name, .row = row},
                       "Find the cell in this row that begins with \" and close it, or double a \" that is meant as "
                       "itself.");
    if (is_blank(record.cells)) continue;
    cells += record.cells.size();
    check_size(record, cells, records.size(), file_name, limits);
    for (std::size_t i = 0; i < record.cells.size(); ++i)
      if (record.cells[i].size() > limits.cell_bytes) record.oddities.push_back({i + 1, Oddity::oversize});
    records.push_back(std::move(record));
  }
  return records;
}

}  // namespace sherdmark
