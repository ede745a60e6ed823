#include "sherdmark/ledger/record_tables.h"

#include <fmt/format.h>

#include <algorithm>

#include "ledger/core.h"
#include "ledger/schema.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

// Table names never come from outside: one that is not of this schema is our own bug.
Statement rows_of(Database& db, const std::string& table) {
  const auto known = record_tables();
  if (std::ranges::find(known, table) == known.end()) throw internal_error("there is no table " + table);
  return db.prepare_once(fmt::format("SELECT * FROM {} ORDER BY 1, 2", table));
}

}  // namespace

std::vector<std::string> record_table_names() {
  const auto known = record_tables();
  return {known.begin(), known.end()};
}

std::vector<std::string> record_table_columns(const Ledger& ledger, const std::string& table) {
  Database db{ledger.file(), Database::Mode::read};
  const Statement rows = rows_of(db, table);
  std::vector<std::string> names;
  for (int column = 0; column < rows.columns(); ++column) names.push_back(rows.column_name(column));
  return names;
}

void for_each_record(const Ledger& ledger, const std::string& table,
                     const std::function<void(const std::vector<std::string>&)>& visit) {
  Database db{ledger.file(), Database::Mode::read};
  Statement rows = rows_of(db, table);
  std::vector<std::string> cells(static_cast<std::size_t>(rows.columns()));
  while (rows.step()) {
    for (std::size_t column = 0; column < cells.size(); ++column) cells[column] = rows.text(static_cast<int>(column));
    visit(cells);
  }
}

}  // namespace sherdmark
