#include "ledger/bag_finder.h"

#include "ledger/identity_rows.h"

#include "sherdmark/ledger/identity.h"

namespace sherdmark {

std::string_view mark_scope(const CatalogRow& row) { return row.accession.empty() ? row.site : row.accession; }

BagFinder::BagFinder(Database& database)
    : db_(database), any_(database.find_integer("SELECT 1 FROM bags LIMIT 1").has_value()) {}

std::optional<std::string> BagFinder::by_mark(std::string_view scope, std::string_view mark) {
  if (!any_) return std::nullopt;
  if (const auto code = parse_identity(IdentityKind::bag, mark))
    if (auto found = db_.find_text("SELECT code FROM bags WHERE id = ? AND state = 'active'", row_of_bag(*code)))
      return found;
  return db_.find_text("SELECT code FROM bags WHERE scope = ? AND mark = ? AND mark <> '' AND state = 'active'", scope,
                       mark);
}

std::optional<std::string> BagFinder::of_lot(std::string_view lot) {
  if (!any_) return std::nullopt;
  return db_.find_text(
      "SELECT b.code FROM lots l JOIN bags b ON b.of_lot = l.id AND b.state = 'active' WHERE l.number = ?", lot);
}

std::string lot_of(const CatalogRow& row, const HouseStandard& standard) {
  const auto lot = standard.scheme(row.number.scheme()).up_to(row.number, NumberLevel::lot);
  if (lot) return lot->text();
  return row.accession.empty() ? row.number.text() : row.accession.str();
}

}  // namespace sherdmark
