#include "sherdmark/catalog/field_log.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>

#include "catalog/columns.h"
#include "catalog/unicode_text.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr std::array<std::string_view, 6> k_lot_headers = {"lot",   "lot no",      "lot number",
                                                           "lot #", "provenience", "provenience lot"};

// Letters and digits, in capitals: what people type alike, however they space it.
std::string bare(std::string_view text) {
  std::string result;
  for (const char c : to_upper_ascii(text))
    if ((c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || static_cast<unsigned char>(c) >= 0x80) result.push_back(c);
  return result;
}

std::string canonical_field_number(const FieldNumbering& numbering, const std::string& written) {
  if (numbering.running(written)) return written;
  std::string rest = bare(written);
  const std::string prefix = bare(numbering.prefix);
  if (!prefix.empty() && rest.starts_with(prefix)) rest.erase(0, prefix.size());
  const bool digits = !rest.empty() && rest.find_first_not_of("0123456789") == std::string::npos;
  const auto running = digits ? parse_integer(rest) : std::nullopt;
  if (!running || *running < numbering.smallest || *running > numbering.largest) return written;
  return numbering.number(*running);
}

struct LogColumns {
  std::vector<Column> columns;
  std::optional<std::size_t> number, lot, crew, unit, stratum, level, feature;
};

bool is_lot_header(const std::string& header) {
  std::string words = to_lower_ascii(trim(header));
  words.erase(std::remove(words.begin(), words.end(), '.'), words.end());
  return std::find(k_lot_headers.begin(), k_lot_headers.end(), words) != k_lot_headers.end();
}

LogColumns find_columns(const Table& table, const HouseStandard& standard) {
  LogColumns found;
  found.columns = name_columns(table, standard);
  const auto of = [&](Field field) -> std::optional<std::size_t> {
    for (std::size_t i = 0; i < found.columns.size(); ++i)
      if (found.columns[i].field == field) return i;
    return std::nullopt;
  };
  found.number = of(Field::field_number);
  for (std::size_t i = 0; i < found.columns.size(); ++i) {
    if (is_lot_header(found.columns[i].header)) found.lot = i;
    if (to_lower_ascii(found.columns[i].header) == "crew") found.crew = i;
  }
  if (!found.lot) found.lot = of(Field::number);
  found.unit = of(Field::unit);
  found.stratum = of(Field::stratum);
  found.level = of(Field::level);
  found.feature = of(Field::feature);
  return found;
}

class LogReader {
 public:
  LogReader(const Table& table, const HouseStandard& standard, LogColumns columns)
      : table_(table), standard_(standard), columns_(std::move(columns)) {}

  FieldLogReading read() {
    if (!has_header()) return std::move(reading_);
    std::vector<bool> misshapen(table_.rows.size(), false);
    for (const TableProblem& problem : table_.problems) {
      misshapen[problem.row_index] = true;
      add(Severity::problem, table_.row_numbers[problem.row_index], problem.column, {}, problem.what, problem.remedy);
    }
    for (std::size_t i = 0; i < table_.rows.size(); ++i)
      if (!misshapen[i]) read_row(i);
    std::stable_sort(reading_.problems.begin(), reading_.problems.end(),
                     [](const CatalogProblem& a, const CatalogProblem& b) { return a.row < b.row; });
    return std::move(reading_);
  }

 private:
  bool has_header() {
    for (const auto& [column, name] : {std::pair{columns_.number, "field number"}, {columns_.lot, "lot"}}) {
      if (column) continue;
      reading_.whole_file_bad = true;
      add(Severity::problem, table_.header_row, name, {}, fmt::format("There is no column for the {}.", name),
          fmt::format("Give one of these that header: {}.", printable(join(table_.header, ", "))));
    }
    return !reading_.whole_file_bad;
  }

  void add(Severity severity, std::size_t row, const std::string& column, const std::string& value,
           const std::string& what, const std::string& remedy) {
    reading_.problems.push_back({severity, table_.file, row, column, value, what, remedy});
  }

  [[nodiscard]] std::string cell(std::size_t row, const std::optional<std::size_t>& column) const {
    if (!column || *column >= table_.rows[row].size()) return {};
    const std::string text{trim(table_.rows[row][*column])};
    return is_plain_ascii(text) ? text : to_nfc(text);
  }

  void read_row(std::size_t index) {
    FieldLogRow row;
    row.row = table_.row_numbers[index];
    const std::string number = cell(index, columns_.number);
    const std::string lot = cell(index, columns_.lot);
    const std::string& number_header = columns_.columns[*columns_.number].header;
    const std::string& lot_header = columns_.columns[*columns_.lot].header;
    if (number.empty() || lot.empty()) {
      add(Severity::problem, row.row, number.empty() ? number_header : lot_header, {},
          number.empty() ? "The row has no field number." : "The field number has no lot.",
          "Fill it in, or take the row out; a number that was not used is told to the ledger with reserve.");
      return;
    }
    row.number = canonical_field_number(standard_.field_numbers, number);
    if (row.number != number)
      add(Severity::warning, row.row, number_header, number, fmt::format("Read as {}.", printable(row.number)), "");
    const auto parsed = standard_.parse_number(lot);
    if (!parsed) {
      add(Severity::problem, row.row, lot_header, lot, "This is no number of the house standard's schemes.",
          "Check it against the bag and the notes.");
      return;
    }
    row.lot = parsed->number.text();
    row.crew = cell(index, columns_.crew);
    row.unit = cell(index, columns_.unit);
    row.stratum = cell(index, columns_.stratum);
    row.level = cell(index, columns_.level);
    row.feature = cell(index, columns_.feature);
    reading_.rows.push_back(std::move(row));
  }

  const Table& table_;
  const HouseStandard& standard_;
  LogColumns columns_;
  FieldLogReading reading_;
};

}  // namespace

bool FieldLogReading::good() const {
  return !whole_file_bad && std::all_of(problems.begin(), problems.end(), [](const CatalogProblem& problem) {
    return problem.severity == Severity::warning;
  });
}

FieldLogReading read_field_log(const Table& table, const HouseStandard& standard) {
  return LogReader{table, standard, find_columns(table, standard)}.read();
}

}  // namespace sherdmark
