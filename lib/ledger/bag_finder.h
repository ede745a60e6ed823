// Which existing bag a catalog row means.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "ledger/sqlite.h"
#include "sherdmark/catalog/rows.h"

namespace sherdmark {

// Marks are the catalog's own and repeat from season to season: they count within an accession, or a site without one.
[[nodiscard]] std::string_view mark_scope(const CatalogRow& row);  // a text of the row

class BagFinder {
 public:
  explicit BagFinder(Database& database);

  // Ids of active bags. A mark that is a bag's own id means that bag.
  [[nodiscard]] std::optional<std::string> by_mark(std::string_view scope, std::string_view mark);
  [[nodiscard]] std::optional<std::string> of_lot(std::string_view lot);

 private:
  Database& db_;
  bool any_;
};

// The number of the lot an item belongs to.
[[nodiscard]] std::string lot_of(const CatalogRow& row, const HouseStandard& standard);

}  // namespace sherdmark
