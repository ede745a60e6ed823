#include "sherdmark/catalog/read_catalog.h"

#include <algorithm>
#include <iterator>
#include <utility>

#include "catalog/columns.h"
#include "catalog/row_reader.h"
#include "catalog/table_checks.h"
#include "sherdmark/base/parallel.h"
#include "sherdmark/catalog/number_order.h"

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

// Rows do not look at each other here, so they are read on all processors, a piece of the table at a time.
void read_rows(const Table& table, const HouseStandard& standard, const std::vector<Column>& columns,
               std::vector<RowInWork>& rows, std::vector<CatalogProblem>& problems) {
  constexpr std::size_t k_rows_a_piece = 2048;
  const std::size_t pieces = (rows.size() + k_rows_a_piece - 1) / k_rows_a_piece;
  std::vector<std::vector<CatalogProblem>> found(pieces);
  for_each_index(pieces, 0, [&](std::size_t piece) {
    RowReader reader{table, standard, columns, found[piece]};
    const std::size_t end = std::min(rows.size(), (piece + 1) * k_rows_a_piece);
    for (std::size_t i = piece * k_rows_a_piece; i < end; ++i) {
      const RowReader::Outcome outcome = reader.read(i, rows[i].row);
      rows[i].good = rows[i].good && outcome.good;
      rows[i].has_number = outcome.has_number;
    }
  });
  for (std::vector<CatalogProblem>& some : found)
    problems.insert(problems.end(), std::make_move_iterator(some.begin()), std::make_move_iterator(some.end()));
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
  read_rows(table, standard, columns, rows, reading.problems);
  CatalogInWork work{table, standard, columns, rows, reading.problems};
  if (!numbers_ascend(reading.rows)) check_duplicates(work);
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
