// What only shows when the rows of a catalog are held against each other. Called by read_catalog.
#pragma once

#include <cstddef>
#include <vector>

#include "catalog/columns.h"
#include "sherdmark/catalog/read_catalog.h"

namespace sherdmark {

// One row on its way: still in the running for everything even if a cell of it is wrong.
struct RowInWork {
  CatalogRow& row;
  std::size_t table_index = 0;
  bool good = true;
  bool has_number = false;
};

struct CatalogInWork {
  const Table& table;
  const HouseStandard& standard;
  const std::vector<Column>& columns;
  std::vector<RowInWork>& rows;
  std::vector<CatalogProblem>& problems;
};

// Rows that share a number: all of them are set aside, for nobody can tell which is right.
void check_duplicates(CatalogInWork& work);

// Rows of one lot that differ in what belongs to the lot. Those that differ from most are set aside; all when there
// is no majority.
void check_lots(CatalogInWork& work);

// Values of one identifier column that look alike but are not the same ("B7" in two alphabets), and numbers that seem
// to have lost their leading zeros: warnings.
void check_identifier_columns(CatalogInWork& work);

}  // namespace sherdmark
