#include "ledger/item_rows.h"

#include <fmt/format.h>

#include <algorithm>

#include "ledger/json_text.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

// The columns every reading of items shares, in the order of `read_columns`.
#define SHERDMARK_ITEM_COLUMNS                                                                                 \
  "SELECT i.id, i.number, c.name, l.number, a.name, s.name, i.kind, i.object, i.material, i.surface, i.count," \
  " i.weight_g, i.volume_ml, i.largest_mm, i.status, i.flags, i.field_number, m.name, v.unit, v.stratum,"      \
  " v.level, v.feature, v.depth_top_cm, v.depth_bottom_cm, v.date, v.excavators, p.path, x.name, i.remarks,"   \
  " i.extra FROM items i JOIN lots l ON l.id = i.lot JOIN schemes c ON c.id = l.scheme"                        \
  " JOIN proveniences v ON v.id = i.provenience LEFT JOIN accessions a ON a.id = i.accession"                  \
  " LEFT JOIN sites s ON s.id = i.site LEFT JOIN places p ON p.id = i.place LEFT JOIN boxes x ON x.id = i.box" \
  " LEFT JOIN assembly_members am ON am.item = i.id LEFT JOIN assemblies m ON m.id = am.assembly "

constexpr std::string_view k_all = SHERDMARK_ITEM_COLUMNS "ORDER BY i.id";
constexpr std::string_view k_by_lot = SHERDMARK_ITEM_COLUMNS "WHERE l.number = ? ORDER BY i.id";
constexpr std::string_view k_by_number = SHERDMARK_ITEM_COLUMNS "WHERE i.number = ?";
#undef SHERDMARK_ITEM_COLUMNS

StoredItem read_columns(const Statement& from) {
  StoredItem item;
  item.id = from.integer(0);
  item.number = from.text(1);
  item.scheme = from.text(2);
  item.lot = from.text(3);
  CatalogRow& row = item.row;
  row.accession = from.text(4);
  row.site = from.text(5);
  row.kind = parse_item_kind(from.view(6)).value_or(ItemKind::artifact);
  row.object = from.text(7);
  row.material = from.text(8);
  row.surface = from.text(9);
  row.count = from.maybe_integer(10);
  row.weight_g = from.maybe_decimal(11);
  row.volume_ml = from.maybe_decimal(12);
  row.largest_mm = from.maybe_decimal(13);
  row.status = from.text(14);
  auto flags = JsonView{from.view(15)}.elements();
  while (const auto flag = flags.next()) row.flags.push_back(flag->text());
  row.field_number = from.text(16);
  row.assembly = from.text(17);
  row.unit = from.text(18);
  row.stratum = from.text(19);
  row.level = from.text(20);
  row.feature = from.text(21);
  row.depth_top_cm = from.maybe_decimal(22);
  row.depth_bottom_cm = from.maybe_decimal(23);
  row.date = from.text(24);
  row.excavators = from.text(25);
  row.place = from.text(26);
  row.box = from.text(27);
  row.remarks = from.text(28);
  auto extra = JsonView{from.view(29)}.elements();
  while (const auto pair = extra.next()) {
    auto cell = pair->elements();
    std::string header = cell.need().text();
    row.extra.emplace_back(std::move(header), cell.need().text());
  }
  return item;
}

void read_former_numbers(Database& db, StoredItem& item) {
  Statement rows = db.prepare("SELECT written FROM former_numbers WHERE item = ? ORDER BY id");
  rows.with(item.id);
  while (rows.step()) item.row.former_numbers.push_back(rows.text(0));
}

// A bag the catalog never named goes by its id, and only where the bagging rule would not find it again.
void read_shares(Database& db, StoredItem& item) {
  Statement rows = db.prepare(
      "SELECT b.mark, b.code, c.quantity FROM bag_contents c JOIN bags b ON b.id = c.bag WHERE c.item = ? ORDER BY "
      "b.id");
  rows.with(item.id);
  std::vector<BagShare>& shares = item.row.bags;
  bool any_mark = false;
  while (rows.step()) {
    any_mark = any_mark || !rows.view(0).empty();
    shares.push_back({rows.view(0).empty() ? rows.text(1) : rows.text(0), rows.maybe_integer(2)});
  }
  if (shares.size() == 1 && !any_mark) shares.clear();
}

void merge_same_marks(std::vector<BagShare>& shares) {
  std::vector<BagShare> merged;
  for (const BagShare& share : shares) {
    const auto same = std::ranges::find(merged, share.mark, &BagShare::mark);
    if (same == merged.end()) {
      merged.push_back(share);
    } else if (share.quantity) {
      same->quantity = same->quantity.value_or(0) + *share.quantity;
    }
  }
  shares = std::move(merged);
}

void visit_rows(Database& db, Statement& rows, const std::function<bool(StoredItem&)>& visit) {
  while (rows.step()) {
    StoredItem item = read_columns(rows);
    read_former_numbers(db, item);
    read_shares(db, item);
    if (!visit(item)) return;
  }
}

}  // namespace

void for_each_item(Database& db, const std::function<bool(StoredItem&)>& visit) {
  Statement rows = db.prepare(k_all);
  visit_rows(db, rows.with(), visit);
}

void for_each_item_of_lot(Database& db, std::string_view lot, const std::function<bool(StoredItem&)>& visit) {
  Statement rows = db.prepare(k_by_lot);
  visit_rows(db, rows.with(lot), visit);
}

std::optional<StoredItem> find_stored_item(Database& db, std::string_view number) {
  std::optional<StoredItem> found;
  Statement rows = db.prepare(k_by_number);
  visit_rows(db, rows.with(number), [&](StoredItem& item) {
    found = std::move(item);
    return false;
  });
  return found;
}

Number parse_stored_number(const HouseStandard& standard, const std::string& scheme, const std::string& text) {
  for (const Scheme& candidate : standard.schemes)
    if (candidate.name() == scheme) {
      auto parsed = candidate.parse(text);
      if (auto* good = std::get_if<ParsedNumber>(&parsed)) return std::move(good->number);
    }
  if (auto parsed = standard.parse_number(text)) return std::move(parsed->number);
  throw data_error(fmt::format("no scheme of the house standard reads the number {}", text), {},
                   fmt::format("give the house standard its scheme \"{}\" back", scheme));
}

std::vector<BagShare> completed_shares(std::vector<BagShare> shares, std::optional<std::int64_t> count) {
  merge_same_marks(shares);
  if (!count) return shares;
  std::int64_t rest = *count;
  BagShare* open = nullptr;
  for (BagShare& share : shares) {
    if (share.quantity) {
      rest -= *share.quantity;
    } else if (open != nullptr) {
      return shares;
    } else {
      open = &share;
    }
  }
  if (open != nullptr && rest >= 0) open->quantity = rest;
  return shares;
}

std::vector<std::string> distinct(const std::vector<std::string>& texts) {
  std::vector<std::string> once;
  for (const std::string& text : texts)
    if (std::ranges::find(once, text) == once.end()) once.push_back(text);
  return once;
}

std::vector<std::string> bags_holding(Database& db, std::int64_t item) {
  std::vector<std::string> bags;
  Statement rows = db.prepare(
      "SELECT b.code FROM bag_contents c JOIN bags b ON b.id = c.bag WHERE c.item = ? AND b.state = 'active' ORDER BY "
      "b.id");
  rows.with(item);
  while (rows.step()) bags.push_back(rows.text(0));
  return bags;
}

}  // namespace sherdmark
