#include "sherdmark/ledger/inventory_sight.h"

#include <fmt/format.h>

#include "ledger/core.h"
#include "ledger/identity_rows.h"
#include "ledger/inventory_rows.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

std::string found_number_of(const InventoryReading& reading) {
  return reading.text.substr(0, reading.text.find(k_after_found_number));
}

}  // namespace

InventorySight sight_of(const Ledger& ledger, const std::string& inventory, const std::string& bag) {
  Database& db = core_of(ledger).db;
  const std::int64_t id = row_of_inventory(db, inventory);
  InventorySight sight;
  Statement expected = db.prepare(fmt::format("{} AND e.bag = ?", k_expected_rows));
  if (expected.with(id, row_of_bag(bag)).step()) read_expected(expected, sight.expected.emplace());
  Statement seen = db.prepare(fmt::format("{} AND bag = ? ORDER BY id", k_seen_rows));
  seen.with(id, bag);
  while (seen.step()) read_seen(seen, sight.seen.emplace_back());
  return sight;
}

InventoryProgress progress_at(const Ledger& ledger, const std::string& inventory, const std::string& place) {
  Database& db = core_of(ledger).db;
  Statement row = db.prepare(
      "SELECT count(*), coalesce(sum(EXISTS(SELECT 1 FROM inventory_seen s WHERE s.inventory = e.inventory AND"
      " s.bag = b.code)), 0) FROM inventory_expected e JOIN bags b ON b.id = e.bag"
      " WHERE e.inventory = ?1 AND e.exempt = '' AND (?2 = '' OR e.place IN (SELECT id FROM places"
      " WHERE path = ?2 OR substr(path, 1, length(?2) + 1) = ?2 || '/'))");
  if (!row.with(row_of_inventory(db, inventory), place).step()) return {};
  return {row.integer(0), row.integer(1)};
}

void take_back(Ledger& ledger, const Actor& actor, const std::string& inventory, const InventoryReading& reading) {
  LedgerCore& core = core_of(ledger);
  const InventoryRecord record = need_inventory(ledger, inventory);
  require_open(record);
  const bool there =
      core.db
          .find_integer(
              "SELECT s.id FROM inventory_seen s JOIN inventories v ON v.id = s.inventory WHERE v.code = ? AND"
              " s.bag = ? AND s.kind = ? AND s.text = ? AND s.serial = ? AND s.place = ? AND s.box = ? LIMIT 1",
              record.id, reading.bag, to_text(reading.kind), reading.text, reading.serial, reading.place, reading.box)
          .has_value();
  if (!there) throw usage_error("there is no such reading to take back", "look at the inventory's report");
  if (reading.kind == SeenKind::unlabelled &&
      core.db.find_text("SELECT state FROM found_numbers WHERE number = ?", found_number_of(reading)) != "open")
    throw usage_error(fmt::format("the found number {} is resolved already", printable(found_number_of(reading))),
                      "it stays as it is");
  JsonWriter out;
  out.begin_object().key("bag").text(reading.bag).key("box").text(reading.box).key("inventory").text(record.id);
  out.key("kind").text(to_text(reading.kind)).key("place").text(reading.place).key("serial").text(reading.serial);
  out.key("text").text(reading.text).end_object();
  core.write(actor, "inventory taken back", out.take());
}

}  // namespace sherdmark
