// Reading an inventory in the order of bag ids, row by row, so that memory stays flat.
#include <fmt/format.h>

#include <chrono>

#include "ledger/core.h"
#include "ledger/identity_rows.h"
#include "ledger/inventory_rows.h"
#include "sherdmark/base/clock.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/identity.h"
#include "sherdmark/ledger/inventory.h"
#include "sherdmark/ledger/places.h"

namespace sherdmark {
namespace {

constexpr double k_faded_grade = 1.5;
constexpr double k_lost_grades = 1.0;
constexpr auto k_pause = std::chrono::minutes{30};

}  // namespace

std::int64_t row_of_inventory(Database& db, const std::string& inventory) {
  const auto id = db.find_integer("SELECT id FROM inventories WHERE code = ?", inventory);
  if (!id) throw unknown_thing("inventory", inventory, "sherdmark inventory list shows their names");
  return *id;
}

struct InventoryStreams::Impl {
  Impl(Database& db, std::int64_t inventory)
      : expected(db.prepare(fmt::format("{} ORDER BY e.bag", k_expected_rows))),
        seen(db.prepare(fmt::format("{} ORDER BY bag, id", k_seen_rows))) {
    expected.with(inventory);
    seen.with(inventory);
  }
  Statement expected;
  Statement seen;
};

InventoryStreams::InventoryStreams(const Ledger& ledger, const std::string& inventory) {
  Database& db = core_of(ledger).db;
  impl_ = std::make_unique<Impl>(db, row_of_inventory(db, inventory));
}
InventoryStreams::~InventoryStreams() = default;

bool InventoryStreams::next_expected(ExpectedBag& bag) {
  if (!impl_->expected.step()) return false;
  read_expected(impl_->expected, bag);
  return true;
}

bool InventoryStreams::next_seen(SeenReading& reading) {
  if (!impl_->seen.step()) return false;
  read_seen(impl_->seen, reading);
  return true;
}

void read_expected(const Statement& row, ExpectedBag& bag) {
  bag.bag = row.view(0);
  bag.place = row.view(1);
  bag.exempt = row.view(2);
  bag.box = row.view(3);
  bag.pieces = row.maybe_integer(4);
}

void read_seen(const Statement& row, SeenReading& reading) {
  reading.kind = parse_seen_kind(row.view(0));
  reading.bag = row.view(1);
  reading.text = row.view(2);
  reading.serial = row.view(3);
  reading.role = row.view(4);
  reading.ordinal = static_cast<int>(row.integer(5));
  reading.state = row.view(6);
  reading.place = row.view(7);
  reading.box = row.view(8);
  reading.count = row.maybe_integer(9);
  reading.evidence = row.view(10);
  reading.verdict = row.view(11);
  reading.reasons = row.view(12);
  reading.time = row.view(13);
  reading.person = row.view(14);
}

std::optional<std::string> place_named(const Ledger& ledger, const std::string& name) {
  return core_of(ledger).db.find_text("SELECT path FROM places WHERE path = ?1 OR code = ?1", place_as_kept(name));
}

std::optional<std::string> box_named(const Ledger& ledger, const std::string& name) {
  constexpr std::string_view k_word = "box ";
  const auto find = [&ledger](const std::string& wanted) {
    return core_of(ledger).db.find_text("SELECT name FROM boxes WHERE name = ?1 OR code = ?2", wanted,
                                        parse_identity(IdentityKind::box, wanted).value_or(wanted));
  };
  const std::string wanted{trim(name)};
  if (auto box = find(wanted)) return box;
  if (!to_lower_ascii(wanted).starts_with(k_word)) return std::nullopt;
  return find(std::string{trim(std::string_view{wanted}.substr(k_word.size()))});
}

BagWords bag_words(const Ledger& ledger, const std::string& bag, const std::string& opened) {
  Database& db = core_of(ledger).db;
  BagWords words;
  const std::int64_t id = row_of_bag(bag);
  Statement row = db.prepare(
      "SELECT b.state, coalesce(l.number, ''), (SELECT count(*) FROM bag_contents c WHERE c.bag = b.id),"
      " (SELECT i.number FROM bag_contents c JOIN items i ON i.id = c.item WHERE c.bag = b.id ORDER BY i.id LIMIT 1)"
      " FROM bags b LEFT JOIN lots l ON l.id = b.of_lot WHERE b.id = ?");
  if (!row.with(id).step()) return words;
  words.retired = row.view(0) == "retired";
  const std::int64_t items = row.integer(2);
  words.number = !row.view(1).empty() ? row.text(1)
                 : items > 1          ? fmt::format("{} and {} more", row.text(3), items - 1)
                                      : row.text(3);
  row.reset();
  if (const auto lent = db.find_text("SELECT l.lent FROM loan_bags b JOIN loans l ON l.id = b.loan WHERE b.bag = ? AND"
                                     " b.returned = '' AND l.lent >= ?",
                                     id, opened))
    words.since = "on loan since " + lent->substr(0, 10);
  else if (words.retired)
    words.since = "retired: its contents went into another bag";
  return words;
}

std::vector<FadingLabel> fading_labels(const Ledger& ledger, const std::string& inventory) {
  Database& db = core_of(ledger).db;
  std::vector<FadingLabel> fading;
  Statement rows = db.prepare("SELECT serial, min(id), max(id) FROM grades GROUP BY serial ORDER BY serial");
  Statement grade = db.prepare("SELECT grade, time FROM grades WHERE id = ?");
  Statement bag = db.prepare(
      "SELECT l.subject FROM prints p JOIN labels l ON l.id = p.label WHERE p.id = ? AND p.state IN ('printed', "
      "'applied')");
  Statement expected = db.prepare("SELECT 1 FROM inventory_expected WHERE inventory = ? AND bag = ?");
  const std::int64_t id = row_of_inventory(db, inventory);
  rows.with();
  while (rows.step()) {
    FadingLabel label;
    label.serial = rows.text(0);
    if (grade.with(rows.integer(1)).step()) label.first = grade.decimal(0);
    if (grade.with(rows.integer(2)).step()) {
      label.last = grade.decimal(0);
      label.graded = grade.text(1);
    }
    if (label.last >= k_faded_grade && label.first - label.last < k_lost_grades) continue;
    if (!bag.with(row_of_serial(label.serial)).step()) continue;
    label.bag = bag.text(0);
    if (expected.with(id, row_of_bag(label.bag)).step()) fading.push_back(std::move(label));
  }
  return fading;
}

InventoryPace inventory_pace(const Ledger& ledger, const std::string& inventory) {
  Database& db = core_of(ledger).db;
  const std::int64_t id = row_of_inventory(db, inventory);
  InventoryPace pace;
  Statement days = db.prepare(
      "SELECT substr(first, 1, 10), count(*) FROM (SELECT min(time) AS first FROM inventory_seen WHERE inventory = ?"
      " AND bag <> '' GROUP BY bag) GROUP BY 1 ORDER BY 1");
  days.with(id);
  while (days.step()) {
    pace.days.push_back({days.text(0), days.integer(1)});
    pace.bags += days.integer(1);
  }
  Statement times = db.prepare("SELECT DISTINCT time FROM inventory_seen WHERE inventory = ? ORDER BY time");
  times.with(id);
  std::optional<TimePoint> before;
  while (times.step()) {
    const TimePoint now = parse_time(times.text(0));
    if (before && now - *before <= k_pause)
      pace.hours += std::chrono::duration<double, std::ratio<3600>>(now - *before).count();
    before = now;
  }
  return pace;
}

}  // namespace sherdmark
