// Looking up items, lots, assemblies and bags.
#include "ledger/bag_rows.h"
#include "ledger/core.h"
#include "ledger/identity_rows.h"
#include "ledger/item_rows.h"

namespace sherdmark {
namespace {

std::optional<PlannedDecision> decision_of(Database& db, const StoredItem& item) {
  Statement row = db.prepare("SELECT decision, rule, reason, caution FROM decisions WHERE item = ?");
  if (!row.with(item.id).step()) return std::nullopt;
  return PlannedDecision{item.number, parse_decision(row.view(0)), row.text(1), row.text(2), row.text(3)};
}

ItemRecord to_record(LedgerCore& core, StoredItem& item) {
  ItemRecord record;
  record.row = std::move(item.row);
  record.row.number = parse_stored_number(core.standard, item.scheme, item.number);
  record.lot = item.lot;
  record.decision = decision_of(core.db, item);
  record.bags = bags_holding(core.db, item.id);
  return record;
}

LotRecord read_lot(const Statement& row) {
  LotRecord lot;
  lot.number = row.text(0);
  lot.accession = row.text(1);
  lot.site = row.text(2);
  lot.unit = row.text(3);
  lot.stratum = row.text(4);
  lot.level = row.text(5);
  lot.feature = row.text(6);
  lot.depth_top_cm = row.maybe_decimal(7);
  lot.depth_bottom_cm = row.maybe_decimal(8);
  lot.date = row.text(9);
  lot.excavators = row.text(10);
  lot.items = row.integer(11);
  return lot;
}

#define SHERDMARK_LOT_COLUMNS                                                                                  \
  "SELECT l.number, a.name, s.name, v.unit, v.stratum, v.level, v.feature, v.depth_top_cm, v.depth_bottom_cm," \
  " v.date, v.excavators, (SELECT count(*) FROM items i WHERE i.lot = l.id) FROM lots l"                       \
  " JOIN proveniences v ON v.id = l.provenience LEFT JOIN accessions a ON a.id = l.accession"                  \
  " LEFT JOIN sites s ON s.id = l.site "
constexpr std::string_view k_lots = SHERDMARK_LOT_COLUMNS "ORDER BY l.id";
constexpr std::string_view k_lot = SHERDMARK_LOT_COLUMNS "WHERE l.number = ?";
#undef SHERDMARK_LOT_COLUMNS

}  // namespace

std::vector<CatalogRow> Ledger::catalog_rows() const {
  const Snapshot snapshot{core_->db};
  std::vector<CatalogRow> rows;
  for_each_item(core_->db, [&](StoredItem& item) {
    item.row.number = parse_stored_number(core_->standard, item.scheme, item.number);
    rows.push_back(std::move(item.row));
    return true;
  });
  return rows;
}

std::vector<ItemRecord> Ledger::items() const {
  const Snapshot snapshot{core_->db};
  std::vector<ItemRecord> items;
  for_each_item(core_->db, [&](StoredItem& item) {
    items.push_back(to_record(*core_, item));
    return true;
  });
  return items;
}

std::vector<ItemRecord> Ledger::items_of_lot(const std::string& lot) const {
  const Snapshot snapshot{core_->db};
  std::vector<ItemRecord> items;
  for_each_item_of_lot(core_->db, lot, [&](StoredItem& item) {
    items.push_back(to_record(*core_, item));
    return true;
  });
  return items;
}

std::optional<ItemRecord> Ledger::find_item(const std::string& number) const {
  std::optional<StoredItem> item = find_stored_item(core_->db, number);
  if (!item) return std::nullopt;
  return to_record(*core_, *item);
}

std::vector<LotRecord> Ledger::lots() const {
  std::vector<LotRecord> lots;
  Statement rows = core_->db.prepare(k_lots);
  rows.with();
  while (rows.step()) lots.push_back(read_lot(rows));
  return lots;
}

std::optional<LotRecord> Ledger::find_lot(const std::string& number) const {
  Statement row = core_->db.prepare(k_lot);
  if (!row.with(number).step()) return std::nullopt;
  return read_lot(row);
}

std::vector<std::string> Ledger::assembly_members(const std::string& assembly) const {
  std::vector<std::string> numbers;
  Statement rows = core_->db.prepare(
      "SELECT i.number FROM assemblies m JOIN assembly_members am ON am.assembly = m.id JOIN items i ON i.id = am.item"
      " WHERE m.name = ? ORDER BY i.id");
  rows.with(assembly);
  while (rows.step()) numbers.push_back(rows.text(0));
  return numbers;
}

std::vector<BagRecord> Ledger::bags() const {
  const Snapshot snapshot{core_->db};
  std::vector<BagRecord> bags;
  Statement rows = core_->db.prepare("SELECT code FROM bags ORDER BY id");
  rows.with();
  while (rows.step())
    if (auto bag = read_bag(core_->db, core_->standard, rows.view(0))) bags.push_back(std::move(*bag));
  return bags;
}

std::optional<BagRecord> Ledger::find_bag(const std::string& bag_id) const {
  return read_bag(core_->db, core_->standard, bag_id);
}

std::string Ledger::bag_mark(const std::string& bag_id) const {
  return core_->db.find_text("SELECT mark FROM bags WHERE id = ?", row_of_bag(bag_id)).value_or("");
}

std::vector<std::string> Ledger::bags_of_item(const std::string& item) const {
  const auto id = core_->db.find_integer("SELECT id FROM items WHERE number = ?", item);
  if (!id) return {};
  return bags_holding(core_->db, *id);
}

}  // namespace sherdmark
