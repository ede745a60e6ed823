// What an intake event does to the records. The payload is described in docs/formats/ledger.md, "intake".
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "ledger/apply.h"
#include "ledger/identity_rows.h"
#include "ledger/unchecked_rows.h"
#include "sherdmark/base/error.h"
#include "sherdmark/ledger/identity.h"

namespace sherdmark {
namespace {

using Id = std::int64_t;
using MaybeId = std::optional<Id>;

// Row ids of what the payload's rows point at by index.
struct Known {
  std::vector<Id> sites, accessions, places, boxes, proveniences, lots, bags;
};

// The cells of one row, in the order of the payload.
struct RowCells {
  explicit RowCells(JsonView::Walk& walk) {
    for (JsonView* cell : {&number,       &lot,      &provenience, &accession, &site,       &kind,   &object, &material,
                           &surface,      &count,    &weight_g,    &volume_ml, &largest_mm, &status, &flags,  &former,
                           &field_number, &assembly, &place,       &box,       &remarks,    &extra,  &shares})
      *cell = walk.need();
  }
  JsonView number{""}, lot{""}, provenience{""}, accession{""}, site{""}, kind{""}, object{""}, material{""},
      surface{""}, count{""}, weight_g{""}, volume_ml{""}, largest_mm{""}, status{""}, flags{""}, former{""},
      field_number{""}, assembly{""}, place{""}, box{""}, remarks{""}, extra{""}, shares{""};
};

// The cells of one bag, in the order of the payload.
struct BagCells {
  explicit BagCells(JsonView::Walk& walk) {
    for (JsonView* cell : {&scope, &mark, &lot, &place, &box}) *cell = walk.need();
  }
  JsonView scope{""}, mark{""}, lot{""}, place{""}, box{""};
};

struct Content {
  Id bag;
  Id item;
  std::optional<std::int64_t> quantity;
};

constexpr std::string_view k_no_text = "\"\"";
constexpr std::string_view k_no_list = "[]";
constexpr std::array<std::string_view, 5> k_kinds = {"artifact", "bulk", "sample", "assembly", "record"};

// What the CHECKs of `items` ask, for rows that are inserted without them.
void check_item(std::string_view number, std::string_view kind, std::optional<std::int64_t> count,
                std::initializer_list<std::optional<double>> measures) {
  if (number.empty()) throw damaged("an item has no number");
  if (std::ranges::find(k_kinds, kind) == k_kinds.end()) throw damaged("an item is of no kind");
  if (count && *count < 1) throw damaged("an item has no pieces");
  for (const std::optional<double>& measure : measures)
    if (measure && *measure < 0) throw damaged("an item's measure is negative");
}

// Texts of one row; each keeps its own space so that all views live together.
class RowTexts {
 public:
  [[nodiscard]] std::string_view of(std::size_t slot, const JsonView& cell) { return cell.text(spaces_[slot]); }

 private:
  std::array<std::string, 8> spaces_;
};

class IntakeApplier {
 public:
  explicit IntakeApplier(const AppliedEvent& applied) : applied_(applied), db_(applied.db) {}

  void run() {
    add_sites();
    add_accessions();
    add_places();
    add_boxes();
    add_proveniences();
    add_lots();
    add_bags();
    add_items();
    change_items();
    mark_vanished();
    revise_labels();
  }

 private:
  [[nodiscard]] static MaybeId pick(const std::vector<Id>& ids, const JsonView& index) {
    const std::optional<Id> value = index.maybe_integer();
    if (!value) return std::nullopt;
    if (*value < 0 || static_cast<std::size_t>(*value) >= ids.size()) throw damaged("it points at nothing");
    return ids[static_cast<std::size_t>(*value)];
  }

  // The row named, or a new one.
  [[nodiscard]] Id find_or_add(std::string_view find, std::string_view add, const std::string& name) {
    if (const MaybeId id = db_.find_integer(find, name)) return *id;
    db_.run(add, name);
    return db_.last_id();
  }

  void add_sites();
  void add_accessions();
  void add_places();
  void add_boxes();
  void add_proveniences();
  void add_lots();
  void add_bags();
  void add_items();
  void add_item(BulkInsert& insert, RowTexts& texts, const RowCells& row);
  void change_items();
  void mark_vanished();
  void revise_labels();
  void add_former_numbers(Id item, const JsonView& former);
  void bind_field_number(std::string_view number, Id lot);
  void join_assembly(Id item, const std::string& name);
  void add_links(Id item, const RowCells& row, BulkInsert& contents);
  void write_contents(BulkInsert& contents, bool end);
  [[nodiscard]] Id bag_of(const JsonView& reference);
  void change_item(const JsonView& line);
  void change_contents(Id item, const JsonView& shares);
  void retire_if_empty(Id bag);
  [[nodiscard]] Id counter(std::string_view key) const { return identity_count(applied_.payload.at(key)); }

  const AppliedEvent& applied_;
  Database& db_;
  Known known_;
  std::vector<Content> waiting_;
  std::string space_;
};

void IntakeApplier::add_sites() {
  auto sites = applied_.payload.at("sites").elements();
  while (const auto site = sites.next())
    known_.sites.push_back(
        find_or_add("SELECT id FROM sites WHERE name = ?", "INSERT INTO sites(name) VALUES(?)", site->text()));
}

void IntakeApplier::add_accessions() {
  auto accessions = applied_.payload.at("accessions").elements();
  while (const auto line = accessions.next()) {
    auto cells = line->elements();
    const std::string name = cells.need().text();
    const std::string scheme = cells.need().text();
    MaybeId id = db_.find_integer("SELECT id FROM accessions WHERE name = ?", name);
    if (!id) {
      db_.run("INSERT INTO accessions(name, scheme) VALUES(?, (SELECT id FROM schemes WHERE name = ?))", name, scheme);
      id = db_.last_id();
    }
    known_.accessions.push_back(*id);
    auto sites = cells.need().elements();
    while (const auto site = sites.next())
      db_.run("INSERT OR IGNORE INTO accession_sites VALUES(?, ?)", *id, pick(known_.sites, *site));
  }
}

// Paths, parents before children.
void IntakeApplier::add_places() {
  Id next = counter("first_place");
  auto places = applied_.payload.at("places").elements();
  while (const auto place = places.next()) {
    const std::string path = place->text();
    MaybeId id = db_.find_integer("SELECT id FROM places WHERE path = ?", path);
    if (!id) {
      const std::size_t slash = path.rfind('/');
      const bool top = slash == std::string::npos;
      db_.run("INSERT INTO places(code, parent, name, path) VALUES(?, (SELECT id FROM places WHERE path = ?), ?, ?)",
              make_identity(IdentityKind::place, applied_.event.station, next++),
              top ? std::string{} : path.substr(0, slash), top ? path : path.substr(slash + 1), path);
      id = db_.last_id();
    }
    known_.places.push_back(*id);
  }
  db_.run("UPDATE stations SET places = ? WHERE code = ?", next - 1, applied_.event.station);
}

void IntakeApplier::add_boxes() {
  Id next = counter("first_box");
  auto boxes = applied_.payload.at("boxes").elements();
  while (const auto line = boxes.next()) {
    auto cells = line->elements();
    const std::string name = cells.need().text();
    const MaybeId place = pick(known_.places, cells.need());
    MaybeId id = db_.find_integer("SELECT id FROM boxes WHERE name = ?", name);
    if (!id) {
      db_.run("INSERT INTO boxes(code, name, home, now) VALUES(?, ?, ?, ?)",
              make_identity(IdentityKind::box, applied_.event.station, next++), name, place, place);
      id = db_.last_id();
    }
    known_.boxes.push_back(*id);
  }
  db_.run("UPDATE stations SET boxes = ? WHERE code = ?", next - 1, applied_.event.station);
}

void IntakeApplier::add_proveniences() {
  Statement insert = db_.prepare("INSERT OR IGNORE INTO proveniences VALUES(NULL, ?, ?, ?, ?, ?, ?, ?, ?)");
  Statement find = db_.prepare(
      "SELECT id FROM proveniences WHERE unit = ?1 AND stratum = ?2 AND level = ?3 AND feature = ?4 AND date = ?7"
      " AND excavators = ?8 AND coalesce(depth_top_cm, -1e300) = coalesce(?5, -1e300)"
      " AND coalesce(depth_bottom_cm, -1e300) = coalesce(?6, -1e300)");
  auto proveniences = applied_.payload.at("proveniences").elements();
  while (const auto line = proveniences.next()) {
    auto cell = line->elements();
    const std::string unit = cell.need().text();
    const std::string stratum = cell.need().text();
    const std::string level = cell.need().text();
    const std::string feature = cell.need().text();
    const std::optional<double> top = cell.need().maybe_decimal();
    const std::optional<double> bottom = cell.need().maybe_decimal();
    const std::string date = cell.need().text();
    const std::string excavators = cell.need().text();
    insert.run(unit, stratum, level, feature, top, bottom, date, excavators);
    if (!find.with(unit, stratum, level, feature, top, bottom, date, excavators).step())
      throw internal_error("a provenience was not stored");
    known_.proveniences.push_back(find.integer(0));
  }
}

void IntakeApplier::add_lots() {
  auto lots = applied_.payload.at("lots").elements();
  while (const auto line = lots.next()) {
    auto cell = line->elements();
    const std::string number = cell.need().text();
    const std::string scheme = cell.need().text();
    const MaybeId accession = pick(known_.accessions, cell.need());
    const MaybeId site = pick(known_.sites, cell.need());
    const MaybeId provenience = pick(known_.proveniences, cell.need());
    MaybeId id = db_.find_integer("SELECT id FROM lots WHERE number = ?", number);
    if (!id) {
      db_.run("INSERT INTO lots VALUES(NULL, ?, (SELECT id FROM schemes WHERE name = ?), ?, ?, ?, ?)", number, scheme,
              accession, site, provenience, applied_.position);
      id = db_.last_id();
    }
    known_.lots.push_back(*id);
  }
}

// Up to a batch of lines, their cells found on the way, into `lines`; false at the end of the list.
template <typename Cells>
bool next_lines(JsonView::Walk& walk, std::vector<Cells>& lines) {
  lines.clear();
  while (lines.size() < BulkInsert::k_rows) {
    auto cells = walk.enter();
    if (!cells) break;
    lines.emplace_back(*cells);
    walk.leave(*cells);
  }
  return !lines.empty();
}

void IntakeApplier::add_bags() {
  Id next = counter("first_bag");
  Id id = row_of_serial(make_serial(applied_.event.station, next));
  const UncheckedRows unchecked{db_};  // a state that is one, an id that was made
  BulkInsert insert{
      db_, "INSERT OR ROLLBACK INTO bags(id, code, state, scope, mark, of_lot, home, now, box, came_with) VALUES", 10,
      applied_.payload.raw()};
  std::string scope_space;
  std::vector<std::string> codes;  // of one batch
  codes.reserve(BulkInsert::k_rows);
  std::vector<BagCells> bags;
  auto walk = applied_.payload.at("bags").elements();
  while (next_lines(walk, bags)) {
    insert.begin(bags.size());
    codes.clear();
    for (const BagCells& bag : bags) {
      const std::string_view scope = bag.scope.text(scope_space);
      const std::string_view mark = bag.mark.text(space_);
      const MaybeId lot = pick(known_.lots, bag.lot);
      const MaybeId place = pick(known_.places, bag.place);
      const MaybeId box = pick(known_.boxes, bag.box);
      const std::string& code = codes.emplace_back(make_identity(IdentityKind::bag, applied_.event.station, next));
      insert.add(id);
      insert.add_kept(code);
      insert.add_lasting("active");
      insert.add(scope, mark, lot, place, place, box, applied_.position);
      ++next;
      known_.bags.push_back(id++);
    }
    insert.run();
  }
  db_.run("UPDATE stations SET bags = ? WHERE code = ?", next - 1, applied_.event.station);
}

void IntakeApplier::add_item(BulkInsert& insert, RowTexts& texts, const RowCells& row) {
  const std::string_view number = texts.of(0, row.number);
  const std::string_view kind = texts.of(1, row.kind);
  const auto count = row.count.maybe_integer();
  const auto weight_g = row.weight_g.maybe_decimal();
  const auto volume_ml = row.volume_ml.maybe_decimal();
  const auto largest_mm = row.largest_mm.maybe_decimal();
  check_item(number, kind, count, {weight_g, volume_ml, largest_mm});
  constexpr MaybeId k_next;  // the id after the last: found without a search
  insert.add(k_next, number, pick(known_.lots, row.lot), pick(known_.accessions, row.accession),
             pick(known_.sites, row.site), pick(known_.proveniences, row.provenience), kind, texts.of(2, row.object),
             texts.of(3, row.material), texts.of(4, row.surface), count, weight_g, volume_ml, largest_mm,
             texts.of(5, row.status), row.flags.raw(), texts.of(6, row.field_number), pick(known_.places, row.place),
             pick(known_.boxes, row.box), texts.of(7, row.remarks), row.extra.raw(), applied_.position);
}

void IntakeApplier::add_items() {
  const UncheckedRows unchecked{db_};
  BulkInsert insert{db_, "INSERT OR ROLLBACK INTO items VALUES", 22, applied_.payload.raw()};
  BulkInsert contents{db_, "INSERT OR ROLLBACK INTO bag_contents(bag, item, quantity) VALUES", 3, {}};
  RowTexts texts;
  Id first = 1 + db_.find_integer("SELECT max(id) FROM items").value_or(0);
  std::vector<RowCells> rows;
  auto walk = applied_.payload.at("added").elements();
  while (next_lines(walk, rows)) {
    insert.begin(rows.size());
    for (const RowCells& row : rows) add_item(insert, texts, row);
    insert.run();
    if (db_.last_id() != first + static_cast<Id>(rows.size()) - 1)
      throw internal_error("items did not get the ids that follow the last");
    for (std::size_t i = 0; i < rows.size(); ++i) add_links(first + static_cast<Id>(i), rows[i], contents);
    first += static_cast<Id>(rows.size());
  }
  write_contents(contents, true);
}

// What hangs on an item once it is there.
void IntakeApplier::add_links(Id item, const RowCells& row, BulkInsert& contents) {
  if (row.former.raw() != k_no_list) add_former_numbers(item, row.former);
  const MaybeId lot = pick(known_.lots, row.lot);
  if (row.field_number.raw() != k_no_text && lot) bind_field_number(row.field_number.text(), *lot);
  if (row.assembly.raw() != k_no_text) join_assembly(item, row.assembly.text());
  auto walk = row.shares.elements();
  while (const auto share = walk.next()) {
    auto cell = share->elements();
    const Id bag = bag_of(cell.need());
    const auto quantity = cell.need().maybe_integer();
    if (quantity && *quantity < 0) throw damaged("a bag holds less than nothing");
    waiting_.push_back({bag, item, quantity});
  }
  write_contents(contents, false);
}

// Writes what waits, by the batch; the rest too when it is the end.
void IntakeApplier::write_contents(BulkInsert& contents, bool end) {
  std::size_t from = 0;
  while (waiting_.size() - from >= (end ? 1 : BulkInsert::k_rows)) {
    const std::size_t rows = std::min(waiting_.size() - from, BulkInsert::k_rows);
    contents.begin(rows);
    for (std::size_t i = from; i < from + rows; ++i)
      contents.add(waiting_[i].bag, waiting_[i].item, waiting_[i].quantity);
    contents.run();
    from += rows;
  }
  waiting_.erase(waiting_.begin(), waiting_.begin() + static_cast<std::ptrdiff_t>(from));
}

void IntakeApplier::add_former_numbers(Id item, const JsonView& former) {
  auto pairs = former.elements();
  while (const auto pair = pairs.next()) {
    auto cell = pair->elements();
    const std::string written = cell.need().text();
    db_.run("INSERT OR IGNORE INTO former_numbers(item, written, canonical) VALUES(?, ?, ?)", item, written,
            cell.need().text());
  }
}

// A number nobody reserved is bound at once; one that is bound stays where it is until a person binds it anew.
void IntakeApplier::bind_field_number(std::string_view number, Id lot) {
  db_.run(
      "INSERT INTO field_numbers(number, state, lot) VALUES(?, 'bound', ?) ON CONFLICT(number) DO UPDATE SET"
      " state = 'bound', lot = excluded.lot WHERE state IN ('reserved', 'issued')",
      number, lot);
}

void IntakeApplier::join_assembly(Id item, const std::string& name) {
  const Id assembly =
      find_or_add("SELECT id FROM assemblies WHERE name = ?", "INSERT INTO assemblies(name) VALUES(?)", name);
  db_.run("INSERT OR REPLACE INTO assembly_members(item, assembly) VALUES(?, ?)", item, assembly);
}

Id IntakeApplier::bag_of(const JsonView& reference) {
  if (!reference.is_text()) return *pick(known_.bags, reference);
  const MaybeId id = db_.find_integer("SELECT id FROM bags WHERE id = ?", row_of_bag(reference.text(space_)));
  if (!id) throw damaged("it names a bag that was never made");
  return *id;
}

void IntakeApplier::change_items() {
  auto lines = applied_.payload.at("changed").elements();
  while (const auto line = lines.next()) change_item(line->elements().need());
}

void IntakeApplier::change_item(const JsonView& line) {
  auto cells = line.elements();
  const RowCells row{cells};
  const std::string number = row.number.text();
  Statement old = db_.prepare("SELECT id, provenience, lot FROM items WHERE number = ?");
  if (!old.with(number).step()) throw damaged("it changes an item that is not there");
  const Id item = old.integer(0);
  const Id old_provenience = old.integer(1);
  const Id lot = old.integer(2);
  old.reset();
  const MaybeId provenience = pick(known_.proveniences, row.provenience);
  db_.run(
      "UPDATE items SET accession = ?, site = ?, provenience = ?, kind = ?, object = ?, material = ?, surface = ?,"
      " count = ?, weight_g = ?, volume_ml = ?, largest_mm = ?, status = ?, flags = ?, field_number = ?, place = ?,"
      " box = ?, remarks = ?, extra = ? WHERE id = ?",
      pick(known_.accessions, row.accession), pick(known_.sites, row.site), provenience, row.kind.text(),
      row.object.text(), row.material.text(), row.surface.text(), row.count.maybe_integer(),
      row.weight_g.maybe_decimal(), row.volume_ml.maybe_decimal(), row.largest_mm.maybe_decimal(), row.status.text(),
      row.flags.raw(), row.field_number.text(), pick(known_.places, row.place), pick(known_.boxes, row.box),
      row.remarks.text(), row.extra.raw(), item);
  // The lot speaks through its items: it follows the one it had its provenience from.
  db_.run("UPDATE lots SET provenience = ? WHERE id = ? AND provenience = ?", provenience, lot, old_provenience);
  db_.run("DELETE FROM former_numbers WHERE item = ?", item);
  add_former_numbers(item, row.former);
  if (const std::string field_number = row.field_number.text(); !field_number.empty())
    bind_field_number(field_number, lot);
  db_.run("DELETE FROM assembly_members WHERE item = ?", item);
  if (const std::string assembly = row.assembly.text(); !assembly.empty()) join_assembly(item, assembly);
  change_contents(item, row.shares);
  note_subject(applied_, number);
}

// `shares` is the whole new truth about the bags of the item.
void IntakeApplier::change_contents(Id item, const JsonView& shares) {
  std::vector<Id> kept;
  auto walk = shares.elements();
  while (const auto share = walk.next()) {
    auto cell = share->elements();
    kept.push_back(bag_of(cell.need()));
    db_.run(
        "INSERT INTO bag_contents(bag, item, quantity) VALUES(?, ?, ?) ON CONFLICT(bag, item) DO UPDATE SET"
        " quantity = excluded.quantity, labelled = min(labelled, coalesce(excluded.quantity, labelled))",
        kept.back(), item, cell.need().maybe_integer());
    db_.run(
        "UPDATE bags SET home = i.place, box = i.box, now = CASE WHEN now IS home THEN i.place ELSE now END"
        " FROM items i WHERE i.id = ? AND bags.id = ?",
        item, kept.back());
  }
  std::vector<Id> left;
  Statement bags = db_.prepare("SELECT bag FROM bag_contents WHERE item = ? ORDER BY bag");
  bags.with(item);
  while (bags.step())
    if (std::ranges::find(kept, bags.integer(0)) == kept.end()) left.push_back(bags.integer(0));
  for (const Id bag : left) {
    db_.run("DELETE FROM bag_contents WHERE bag = ? AND item = ?", bag, item);
    db_.run("DELETE FROM planned_pieces WHERE bag = ? AND item = ?", bag, item);
    retire_if_empty(bag);
  }
}

void IntakeApplier::retire_if_empty(Id bag) {
  if (db_.find_integer("SELECT count(*) FROM bag_contents WHERE bag = ?", bag).value_or(0) > 0) return;
  db_.run("UPDATE bags SET state = 'retired' WHERE id = ?", bag);
}

void IntakeApplier::mark_vanished() {
  auto numbers = applied_.payload.at("vanished").elements();
  while (const auto number = numbers.next()) {
    db_.run("UPDATE items SET status = 'missing' WHERE number = ?", number->text());
    note_subject(applied_, number->text());
  }
}

void IntakeApplier::revise_labels() {
  auto labels = applied_.payload.at("revised").elements();
  while (const auto line = labels.next()) {
    auto cell = line->elements();
    const std::string role = cell.need().text();
    const std::string name = cell.need().text();
    revise_label(db_, role, name);
    note_subject(applied_, name);
  }
}

}  // namespace

void apply_intake(const AppliedEvent& applied) { IntakeApplier{applied}.run(); }

}  // namespace sherdmark
