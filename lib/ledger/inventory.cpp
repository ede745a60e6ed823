#include "sherdmark/ledger/inventory.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "ledger/care_flags.h"
#include "ledger/core.h"
#include "ledger/identity_rows.h"
#include "ledger/inventory_rows.h"
#include "sherdmark/base/clock.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr std::array<std::string_view, 5> k_seen_kinds = {"label", "typed", "unlabelled", "unknown", "unread"};
constexpr std::array<std::string_view, 3> k_found_states = {"reserved", "open", "resolved"};
constexpr std::int64_t k_most_found_numbers = 999;

InventoryRecord read_inventory(Database& db, const Statement& row) {
  InventoryRecord record;
  record.id = row.text(1);
  record.scope = {row.text(2), row.text(3), row.text(4)};
  record.opened = row.text(5);
  record.opened_by = row.text(6);
  record.closed = row.text(7);
  record.closed_by = row.text(8);
  Statement sums = db.prepare(
      "SELECT count(*), coalesce(sum(exempt = 'on loan'), 0), coalesce(sum(exempt = 'restricted'), 0)"
      " FROM inventory_expected WHERE inventory = ?");
  if (sums.with(row.integer(0)).step()) {
    record.expected = sums.integer(0);
    record.on_loan = sums.integer(1);
    record.restricted = sums.integer(2);
  }
  record.readings =
      db.find_integer("SELECT count(*) FROM inventory_seen WHERE inventory = ?", row.integer(0)).value_or(0);
  return record;
}

void write_readings(JsonWriter& out, std::span<const InventoryReading> readings) {
  out.key("readings").begin_array();
  for (const InventoryReading& one : readings) {
    out.begin_array().text(to_text(one.kind)).text(one.text).text(one.serial).text(one.bag).text(one.place);
    out.text(one.box).maybe(one.count).text(one.evidence).text(one.verdict).text(one.reasons).text(one.time);
    out.end_array();
  }
  out.end_array();
}

// The next reserved numbers, as many as there are things without a label.
std::vector<std::string> numbers_for(Database& db, std::span<const InventoryReading> readings) {
  const auto wanted = std::ranges::count(readings, SeenKind::unlabelled, &InventoryReading::kind);
  std::vector<std::string> numbers;
  Statement rows = db.prepare("SELECT number FROM found_numbers WHERE state = 'reserved' ORDER BY id LIMIT ?");
  rows.with(static_cast<std::int64_t>(wanted));
  while (rows.step()) numbers.push_back(rows.text(0));
  if (static_cast<std::ptrdiff_t>(numbers.size()) < wanted)
    throw usage_error(
        fmt::format("{} things without a label were found, and {} found numbers are left", wanted, numbers.size()),
        "reserve a block first: sherdmark inventory numbers PREFIX --count N");
  return numbers;
}

}  // namespace

std::string InventoryScope::words() const {
  std::vector<std::string> parts;
  if (!place.empty()) parts.push_back(place);
  if (!accession.empty()) parts.push_back("accession " + accession);
  if (!status.empty()) parts.push_back("status " + status);
  return parts.empty() ? "everything" : join(parts, ", ");
}

std::string open_inventory(Ledger& ledger, const Actor& actor, const InventoryScope& scope) {
  LedgerCore& core = core_of(ledger);
  for (const InventoryRecord& other : inventories(ledger))
    if (other.open() && other.scope.words() == scope.words())
      throw usage_error(fmt::format("the inventory {} of the same scope is open", group_identity(other.id)),
                        "go on with it, or close it first");
  const std::int64_t next =
      1 + core.db.find_integer("SELECT inventories FROM stations WHERE code = ?", actor.station).value_or(0);
  std::string id = make_identity(IdentityKind::inventory, actor.station, next);
  JsonWriter out;
  out.begin_object().key("accession").text(scope.accession).key("care_flags");
  out.raw(care_flag_spellings(core))
      .key("inventory")
      .text(id)
      .key("place")
      .text(scope.place)
      .key("scope")
      .text(scope.words());
  out.key("status").text(scope.status).end_object();
  core.write(actor, "inventory opened", out.take(), [&](Database& db) {
    if (!db.find_integer("SELECT bag FROM inventory_expected e JOIN inventories v ON v.id = e.inventory"
                         " WHERE v.code = ? LIMIT 1",
                         id))
      throw usage_error(fmt::format("no active bag lies in the scope: {}", printable(scope.words())),
                        "check the place, accession and status against the catalog");
  });
  return id;
}

void require_open(const InventoryRecord& record, std::string_view advice) {
  if (record.open()) return;
  throw usage_error(
      fmt::format("the inventory {} is closed since {}", group_identity(record.id), time_in_words(record.closed)),
      std::string{advice});
}

TakenIn take_in(Ledger& ledger, const Actor& actor, const std::string& inventory,
                std::span<const InventoryReading> readings, const std::string& source) {
  LedgerCore& core = core_of(ledger);
  const InventoryRecord record = need_inventory(ledger, inventory);
  require_open(record);
  TakenIn taken{static_cast<std::int64_t>(readings.size()), numbers_for(core.db, readings)};
  if (readings.empty()) return taken;
  std::vector<InventoryReading> named{readings.begin(), readings.end()};
  JsonWriter out;
  out.begin_object().key("found").begin_array();
  auto number = taken.found_numbers.begin();
  for (InventoryReading& one : named)
    if (one.kind == SeenKind::unlabelled) {
      out.begin_array().text(*number).text(one.place).text(one.text).end_array();
      one.text = *number++ + std::string{k_after_found_number} + one.text;
    }
  out.end_array().key("inventory").text(record.id);
  write_readings(out, named);
  out.key("source").text(source).end_object();
  core.write(actor, "inventory seen", out.take());
  return taken;
}

void close_inventory(Ledger& ledger, const Actor& actor, const std::string& inventory) {
  const InventoryRecord record = need_inventory(ledger, inventory);
  require_open(record, "ask for its report");
  JsonWriter out;
  out.begin_object().key("inventory").text(record.id).key("readings").integer(record.readings).end_object();
  core_of(ledger).write(actor, "inventory closed", out.take());
}

std::vector<InventoryRecord> inventories(const Ledger& ledger) {
  Database& db = core_of(ledger).db;
  std::vector<InventoryRecord> records;
  Statement rows = db.prepare(
      "SELECT id, code, place, accession, status, opened, opened_by, closed, closed_by FROM inventories ORDER BY id");
  rows.with();
  while (rows.step()) records.push_back(read_inventory(db, rows));
  return records;
}

std::optional<InventoryRecord> find_inventory(const Ledger& ledger, const std::string& id) {
  Database& db = core_of(ledger).db;
  Statement row = db.prepare(
      "SELECT id, code, place, accession, status, opened, opened_by, closed, closed_by FROM inventories WHERE code = "
      "?");
  if (!row.with(id).step()) return std::nullopt;
  return read_inventory(db, row);
}

InventoryRecord need_inventory(const Ledger& ledger, const std::string& id) {
  if (!id.empty()) {
    auto record = find_inventory(ledger, parse_identity(IdentityKind::inventory, id).value_or(id));
    if (!record) throw unknown_thing("inventory", id, "sherdmark inventory list shows their names");
    return *std::move(record);
  }
  std::vector<InventoryRecord> open;
  for (InventoryRecord& record : inventories(ledger))
    if (record.open()) open.push_back(std::move(record));
  if (open.size() == 1) return open.front();
  throw usage_error(open.empty() ? "no inventory is open" : fmt::format("{} inventories are open", open.size()),
                    open.empty() ? "open one: sherdmark inventory open" : "name one with --inventory");
}

std::vector<std::string> reserve_found_numbers(Ledger& ledger, const Actor& actor, const std::string& prefix,
                                               std::int64_t count) {
  if (trim(prefix).empty() || trim(prefix) != prefix || printable(prefix) != prefix || code_point_count(prefix) > 40)
    throw usage_error("this cannot begin a found number", "give a short beginning like FIC-2031-");
  if (count < 1 || count > k_most_found_numbers)
    throw usage_error("a block holds 1 to 999 numbers", "give a number in between");
  Database& db = core_of(ledger).db;
  const std::int64_t before = db.find_integer(
                                    "SELECT count(*) FROM found_numbers WHERE substr(number, 1, length(?1)) = ?1 AND"
                                    " length(number) = length(?1) + 3",
                                    prefix)
                                  .value_or(0);
  if (before + count > k_most_found_numbers)
    throw usage_error(fmt::format("{} numbers of this beginning are used", before),
                      "begin a block with another prefix");
  std::vector<std::string> numbers;
  JsonWriter out;
  out.begin_object().key("numbers").begin_array();
  for (std::int64_t i = before + 1; i <= before + count; ++i) {
    numbers.push_back(fmt::format("{}{:03}", prefix, i));
    out.text(numbers.back());
  }
  out.end_array().end_object();
  core_of(ledger).write(actor, "found numbers reserved", out.take());
  return numbers;
}

void resolve_found_number(Ledger& ledger, const Actor& actor, const std::string& number,
                          const std::string& resolution) {
  const auto state = core_of(ledger).db.find_text("SELECT state FROM found_numbers WHERE number = ?", number);
  if (!state) throw unknown_thing("found number", number, "check its label");
  if (*state != "open")
    throw usage_error(fmt::format("the found number {} is {}", number, *state), "only an open one can be resolved");
  if (trim(resolution).empty())
    throw usage_error("nothing says what it turned out to be", "name a bag, number or words");
  JsonWriter out;
  out.begin_object().key("number").text(number).key("resolution").text(resolution).end_object();
  core_of(ledger).write(actor, "found number resolved", out.take());
}

std::vector<FoundNumber> found_numbers(const Ledger& ledger) {
  std::vector<FoundNumber> found;
  Statement rows = core_of(ledger).db.prepare(
      "SELECT f.number, f.state, coalesce(v.code, ''), f.place, f.what, f.resolution, f.given, f.resolved"
      " FROM found_numbers f LEFT JOIN inventories v ON v.id = f.inventory ORDER BY f.id");
  rows.with();
  while (rows.step()) {
    const auto* state = std::ranges::find(k_found_states, rows.view(1));
    found.push_back({rows.text(0), static_cast<FoundState>(state - k_found_states.begin()), rows.text(2), rows.text(3),
                     rows.text(4), rows.text(5), rows.text(6), rows.text(7)});
  }
  return found;
}

std::string_view to_text(SeenKind kind) { return k_seen_kinds[static_cast<std::size_t>(kind)]; }
std::string_view to_text(FoundState state) { return k_found_states[static_cast<std::size_t>(state)]; }

SeenKind parse_seen_kind(std::string_view text) {
  const auto* found = std::ranges::find(k_seen_kinds, text);
  if (found == k_seen_kinds.end())
    throw data_error("the ledger holds a kind of reading this program does not know", {},
                     "use the program version that wrote it");
  return static_cast<SeenKind>(found - k_seen_kinds.begin());
}

}  // namespace sherdmark
