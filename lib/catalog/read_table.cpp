#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
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

bool is_blank(std::string_view cell) { return trim(cell).empty(); }

std::size_t filled_width(const TableRow& row) {
  std::size_t width = row.size();
  while (width > 0 && is_blank(row[width - 1])) --width;
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

void report_width(std::size_t cells, std::size_t width, std::string remedy, Table& table) {
  table.problems.push_back({table.row_numbers.size(),
                            {},
                            fmt::format("The row has {} cells, the header has {}.", cells, width),
                            std::move(remedy)});
}

// The columns that have a header, and those without one that have cells in them, as far as the header was written.
std::size_t used_width(const RawTable& raw, bool from_workbook) {
  const TableRow header = raw.record(0);
  std::size_t width = filled_width(header);
  for (std::size_t i = 1; i < raw.records.size(); ++i) {
    const TableRow row = raw.record(i);
    const std::size_t limit = from_workbook ? row.size() : std::min(row.size(), header.size());
    for (std::size_t c = limit; c > width; --c)
      if (!is_blank(row[c - 1])) width = c;
  }
  return width;
}

// Takes a row to the header's cells; spreadsheets pad rows with blank cells and, in .xlsx, leave trailing ones out.
void fit_width(RawTable& raw, std::size_t index, std::size_t width, bool from_workbook, Table& table) {
  TableRows::Range& row = raw.records[index];
  const std::size_t written = row.count;
  if (written > width) row.count = static_cast<std::uint32_t>(std::max(width, filled_width(raw.record(index))));
  if (!from_workbook && written < width)
    report_width(written, width,
                 "Find the missing separator, or add the missing cells; a cell that holds the separator must stand in "
                 "quotation marks.",
                 table);
  if (row.count > width)
    report_width(row.count, width, "Find the separator too many, or put the cell that holds one in quotation marks.",
                 table);
  if (row.count >= width) return;
  const std::uint32_t first = row.first;  // too few: the row moves to where there is room for blanks behind it
  row.first = static_cast<std::uint32_t>(raw.cells.size());
  for (std::size_t i = 0; i < row.count; ++i) raw.cells.push_back(TableCell{raw.cells[first + i]});
  raw.cells.resize(row.first + width);
  row.count = static_cast<std::uint32_t>(width);
}

void remove_guards(RawTable& raw) {
  for (TableCell& cell : raw.cells) {
    if (!has_guard({raw.text.data() + cell.at, cell.length})) continue;
    ++cell.at;
    --cell.length;
  }
}

// A file of set-aside rows has a first column that says what is wrong.
void drop_set_aside_column(RawTable& raw, Table& table) {
  if (table.header.empty() || trim(table.header.front()) != k_set_aside_header) return;
  table.header.erase(table.header.begin());
  for (TableRows::Range& row : raw.records) {
    if (row.count == 0) continue;
    ++row.first;
    --row.count;
  }
}

Table to_table(RawTable raw, bool from_workbook) {
  Table table;
  if (raw.records.empty()) return table;
  const std::size_t width = used_width(raw, from_workbook);
  table.header_row = raw.row_numbers.front();
  table.header = raw.record(0).texts();
  table.header.resize(width);
  table.row_numbers.reserve(raw.records.size() - 1);
  auto oddity = raw.oddities.begin();
  while (oddity != raw.oddities.end() && oddity->record == 0) ++oddity;  // the header is no row
  for (std::size_t i = 1; i < raw.records.size(); ++i) {
    fit_width(raw, i, width, from_workbook, table);
    for (; oddity != raw.oddities.end() && oddity->record == i; ++oddity)
      table.problems.push_back(describe_oddity(*oddity, i - 1, table));
    table.row_numbers.push_back(raw.row_numbers[i]);
  }
  remove_guards(raw);
  for (std::string& cell : table.header)
    if (has_guard(cell)) cell.erase(0, 1);
  raw.records.erase(raw.records.begin());
  drop_set_aside_column(raw, table);
  table.rows = {std::move(raw.text), std::move(raw.cells), std::move(raw.records)};
  return table;
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
  const std::size_t skip = decoded.text.size() - text.size();
  RawTable raw = parse_csv(std::move(decoded.text), skip, separator, file_name);
  if (declared != '\0')
    for (std::size_t& row : raw.row_numbers) ++row;
  Table table = to_table(std::move(raw), false);
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
    table = to_table(std::move(workbook.table), true);
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
  return table;
}

}  // namespace sherdmark
