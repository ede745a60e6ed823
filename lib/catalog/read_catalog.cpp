#include "sherdmark/catalog/read_catalog.h"

#include <algorithm>
#include <utility>

#include "catalog/columns.h"
#include "catalog/row_reader.h"
#include "catalog/table_checks.h"

namespace sherdmark {
namespace {

void report_shape(const Table& table, std::vector<RowInWork>& rows, std::vector<CatalogProblem>& problems) {
  for (const TableProblem& problem : table.problems) {
    rows[problem.row_index].good = false;
    problems.push_back({Severity::problem,
                        table.file,
                        table.row_numbers[problem.row_index],
                        problem.column,
                        {},
                        problem.what,
                        problem.remedy});
  }
}

}  // namespace

CatalogReading read_catalog(Table table, const HouseStandard& standard) {
  CatalogReading reading;
  const std::vector<Column> columns = map_columns(table, standard, reading.problems);
  reading.whole_file_bad = !reading.problems.empty();
  reading.rows.resize(
      table.rows.size());  // rows are large: made once, and those that are not good taken out at the end
  std::vector<RowInWork> rows;
  rows.reserve(table.rows.size());
  for (std::size_t i = 0; i < table.rows.size(); ++i) rows.push_back({reading.rows[i], i});
  report_shape(table, rows, reading.problems);
  RowReader reader{table, standard, columns, reading.problems};
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const RowReader::Outcome outcome = reader.read(i, rows[i].row);
    rows[i].good = rows[i].good && outcome.good;
    rows[i].has_number = outcome.has_number;
  }
  CatalogInWork work{table, standard, columns, rows, reading.problems};
  check_duplicates(work);
  check_lots(work);
  check_identifier_columns(work);
  std::stable_sort(reading.problems.begin(), reading.problems.end(),
                   [](const CatalogProblem& a, const CatalogProblem& b) { return a.row < b.row; });
  std::size_t kept = 0;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (!rows[i].good || reading.whole_file_bad) {
      reading.bad_table_rows.push_back(i);
      continue;
    }
    if (kept != i) reading.rows[kept] = std::move(reading.rows[i]);
    ++kept;
  }
  reading.rows.resize(kept);
  reading.table = std::move(table);
  return reading;
}

}  // namespace sherdmark
