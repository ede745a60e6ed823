#include <fmt/format.h>

#include <algorithm>
#include <string_view>
#include <utility>

#include "catalog/columns.h"
#include "catalog/csv_parse.h"
#include "catalog/formula_guard.h"
#include "catalog/text_encoding.h"
#include "catalog/xlsx_table.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/catalog/read_catalog.h"

namespace sherdmark {
namespace {

bool is_blank(const std::string& cell) { return trim(cell).empty(); }

std::size_t filled_width(const std::vector<std::string>& cells) {
  std::size_t width = cells.size();
  while (width > 0 && is_blank(cells[width - 1])) --width;
  return width;
}

// Binary spreadsheets of old begin with the mark of a compound file.
void refuse_old_workbook(std::span<const std::byte> bytes, const std::string& file_name) {
  const std::string_view head{reinterpret_cast<const char*>(bytes.data()), std::min<std::size_t>(bytes.size(), 8)};
  if (head == "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1")
    throw data_error("This is an old binary spreadsheet (.xls), or a workbook with a password.", {.file = file_name},
                     "Open it in a spreadsheet program and save it as .xlsx or as CSV in UTF-8.");
}

TableProblem describe_oddity(const RawOddity& oddity, std::size_t index, const Table& table) {
  TableProblem problem;
  problem.row_index = index;
  problem.column = oddity.column <= table.header.size() ? table.header[oddity.column - 1] : std::string{};
  switch (oddity.what) {
    case Oddity::text_after_quote:
      problem.what = "Text stands behind the quotation mark that closes the cell.";
      problem.remedy = "Put the whole cell in quotation marks and double those inside it, or take all of them away.";
      break;
    case Oddity::oversize:
      problem.what = "The cell holds more than 32,767 characters, more than any spreadsheet keeps.";
      problem.remedy = "Look for a missing quotation mark further up, or shorten the text.";
      break;
    case Oddity::formula_without_result:
      problem.what = "The cell holds a formula, but the file does not hold its result.";
      problem.remedy =
          "Open the workbook in a spreadsheet program and save it, or put the value in place of the formula.";
      break;
  }
  return problem;
}

// Whether a row has the header's cells; spreadsheets pad rows with blank cells and, in .xlsx, leave trailing ones out.
void check_width(const std::vector<std::string>& row, std::size_t written, std::size_t width, bool from_workbook,
                 std::size_t index, Table& table) {
  if (!from_workbook && written < width)
    table.problems.push_back({index,
                              {},
                              fmt::format("The row has {} cells, the header has {}.", written, width),
                              "Find the missing separator, or add the missing cells; a cell that holds the separator "
                              "must stand in quotation marks."});
  if (row.size() > width)
    table.problems.push_back({index,
                              {},
                              fmt::format("The row has {} cells, the header has {}.", row.size(), width),
                              "Find the separator too many, or put the cell that holds one in quotation marks."});
}

Table to_table(std::vector<RawRecord> records, bool from_workbook) {
  Table table;
  if (records.empty()) return table;
  table.header = std::move(records.front().cells);
  table.header_row = records.front().row;
  const std::size_t written_width = table.header.size();
  std::size_t width = filled_width(table.header);
  for (std::size_t i = 1; i < records.size(); ++i) {
    // A column without a header but with cells in it is kept, as far as the header was written.
    const std::size_t limit =
        from_workbook ? records[i].cells.size() : std::min(records[i].cells.size(), written_width);
    if (limit <= width) continue;
    for (std::size_t c = limit; c > width; --c)
      if (!is_blank(records[i].cells[c - 1])) width = c;
  }
  table.header.resize(width);
  table.rows.reserve(records.size() - 1);
  table.row_numbers.reserve(records.size() - 1);
  for (std::size_t i = 1; i < records.size(); ++i) {
    std::vector<std::string>& row = records[i].cells;
    const std::size_t written = row.size();
    if (written > width) row.resize(std::max(width, filled_width(row)));
    check_width(row, written, width, from_workbook, i - 1, table);
    if (row.size() < width) row.resize(width);
    for (std::string& cell : row) remove_guard(cell);
    for (const RawOddity& oddity : records[i].oddities) table.problems.push_back(describe_oddity(oddity, i - 1, table));
    table.rows.push_back(std::move(row));
    table.row_numbers.push_back(records[i].row);
  }
  for (std::string& cell : table.header) remove_guard(cell);
  return table;
}

void drop_set_aside_column(Table& table) {
  if (table.header.empty() || trim(table.header.front()) != k_set_aside_header) return;
  table.header.erase(table.header.begin());
  for (auto& row : table.rows) row.erase(row.begin());
}

// Some spreadsheets write "sep=;" before everything else.
char declared_separator(std::string_view& text) {
  if (text.size() < 5 || to_lower_ascii(text.substr(0, 4)) != "sep=") return '\0';
  const char separator = text[4];
  const std::size_t rest = text.find_first_not_of("\r\n", 5);
  if (rest == 5) return '\0';
  text.remove_prefix(std::min(rest, text.size()));
  return separator;
}

Table read_csv(std::span<const std::byte> bytes, const std::string& file_name) {
  DecodedText decoded = decode_text(bytes, file_name);
  std::string_view text = decoded.text;
  const char declared = declared_separator(text);
  const char separator = declared != '\0' && declared != '"' ? declared : sniff_separator(text);
  std::vector<RawRecord> records = parse_csv(text, separator, file_name);
  if (declared != '\0')
    for (RawRecord& record : records) ++record.row;
  Table table = to_table(std::move(records), false);
  table.encoding = std::move(decoded.encoding);
  table.separator = separator;
  table.warnings = std::move(decoded.warnings);
  return table;
}

}  // namespace

Table read_table(std::span<const std::byte> bytes, const std::string& file_name) {
  refuse_old_workbook(bytes, file_name);
  Table table;
  if (looks_like_zip(bytes)) {
    XlsxTable workbook = read_xlsx(bytes, file_name, is_catalog_header);
    table = to_table(std::move(workbook.records), true);
    table.encoding = "xlsx";
    table.separator = '\0';
    table.warnings = std::move(workbook.warnings);
  } else {
    table = read_csv(bytes, file_name);
  }
  table.file = file_name;
  if (table.header.empty())
    throw data_error("The file holds no table: there is nothing in it.", {.file = file_name},
                     "Give the file that holds the catalog.");
  drop_set_aside_column(table);
  return table;
}

}  // namespace sherdmark
