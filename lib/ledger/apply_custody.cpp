// What field numbers and custody do to the records. Payloads: docs/formats/ledger.md.
#include <set>

#include "ledger/apply.h"
#include "ledger/identity_rows.h"
#include "sherdmark/base/error.h"
#include "sherdmark/ledger/identity.h"

namespace sherdmark {
namespace {

// Leaves the plan of an item in a bag no more labelled than what is there.
void forget_plan(Database& db, std::int64_t bag, std::int64_t item) {
  db.run("DELETE FROM planned_pieces WHERE bag = ? AND item = ?", bag, item);
  db.run("UPDATE bag_contents SET labelled = 0 WHERE bag = ? AND item = ?", bag, item);
}

std::int64_t place_row(const AppliedEvent& applied, const std::string& path) {
  Database& db = applied.db;
  for (std::size_t slash = path.find('/');; slash = path.find('/', slash + 1)) {
    const std::string part = path.substr(0, slash);
    if (!db.find_integer("SELECT id FROM places WHERE path = ?", part)) {
      const std::int64_t next =
          1 + db.find_integer("SELECT places FROM stations WHERE code = ?", applied.event.station).value_or(0);
      const std::size_t last = part.rfind('/');
      const bool top = last == std::string::npos;
      db.run("INSERT INTO places(code, parent, name, path) VALUES(?, (SELECT id FROM places WHERE path = ?), ?, ?)",
             make_identity(IdentityKind::place, applied.event.station, next),
             top ? std::string{} : part.substr(0, last), top ? part : part.substr(last + 1), part);
      db.run("UPDATE stations SET places = ? WHERE code = ?", next, applied.event.station);
    }
    if (slash == std::string::npos) break;
  }
  return db.find_integer("SELECT id FROM places WHERE path = ?", path).value_or(-1);
}

}  // namespace

void revise_listed(const AppliedEvent& applied) {
  auto labels = applied.payload.at("revised").elements();
  while (const auto line = labels.next()) {
    auto cell = line->elements();
    const std::string role = cell.need().text();
    revise_label(applied.db, role, cell.need().text());
  }
}

void apply_reserved(const AppliedEvent& applied) {
  Database& db = applied.db;
  std::vector<std::string> numbers;
  auto walk = applied.payload.at("numbers").elements();
  while (const auto number = walk.next()) numbers.push_back(number->text());
  if (numbers.empty()) throw damaged("an empty block");
  db.run("INSERT INTO field_blocks VALUES(NULL, ?, ?, ?, ?, ?, ?)", applied.event.station,
         applied.payload.at("crew").text(), numbers.front(), numbers.back(), static_cast<std::int64_t>(numbers.size()),
         applied.event.time);
  const std::int64_t block = db.last_id();
  for (const std::string& number : numbers) {
    db.run("INSERT INTO field_numbers(number, block, state) VALUES(?, ?, 'reserved')", number, block);
    note_subject(applied, number);
  }
}

void apply_field_states(const AppliedEvent& applied) {
  const std::string state = applied.payload.at("state").text();
  auto walk = applied.payload.at("numbers").elements();
  while (const auto number = walk.next()) {
    applied.db.run("UPDATE field_numbers SET state = ? WHERE number = ?", state, number->text());
    note_subject(applied, number->text());
  }
}

void apply_bound(const AppliedEvent& applied) {
  auto walk = applied.payload.at("bindings").elements();
  while (const auto line = walk.next()) {
    auto cell = line->elements();
    const std::string number = cell.need().text();
    const std::string lot = cell.need().text();
    applied.db.run(
        "UPDATE field_numbers SET state = 'bound', lot = (SELECT id FROM lots WHERE number = ?) WHERE number = ?", lot,
        number);
    note_subject(applied, number);
    note_subject(applied, lot);
    if (const auto before = cell.next()) note_subject(applied, before->text());
  }
  revise_listed(applied);
}

void apply_moved(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::string container = applied.payload.at("container").text();
  const std::int64_t place = place_row(applied, applied.payload.at("place").text());
  const bool home = applied.payload.at("home").boolean();
  const std::int64_t bag = row_of_bag(container);
  if (bag > 0) {
    db.run("UPDATE bags SET now = ?, until = ? WHERE id = ?", place, applied.payload.at("until").text(), bag);
    if (home) {
      db.run("UPDATE bags SET home = ? WHERE id = ?", place, bag);
      db.run("UPDATE items SET place = ? WHERE id IN (SELECT item FROM bag_contents WHERE bag = ?)", place, bag);
    }
  } else {
    db.run("UPDATE boxes SET now = ? WHERE code = ?", place, container);
    std::set<std::string> stay;
    if (const auto listed = JsonView{applied.payload.raw()}.find("stay")) {
      auto walk = listed->elements();
      while (const auto one = walk.next()) stay.insert(one->text());
    }
    std::vector<std::int64_t> along;
    Statement bags = db.prepare("SELECT b.id, b.code FROM bags b JOIN boxes x ON x.id = b.box WHERE x.code = ?");
    bags.with(container);
    while (bags.step())
      if (!stay.contains(bags.text(1))) along.push_back(bags.integer(0));
    for (const std::int64_t one : along) db.run("UPDATE bags SET now = ? WHERE id = ?", place, one);
    if (home) {
      db.run("UPDATE boxes SET home = ? WHERE code = ?", place, container);
      db.run("UPDATE bags SET home = ? WHERE box = (SELECT id FROM boxes WHERE code = ?)", place, container);
      db.run("UPDATE items SET place = ? WHERE box = (SELECT id FROM boxes WHERE code = ?)", place, container);
    }
  }
  note_subject(applied, container);
}

void apply_boxed(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::string code = applied.payload.at("bag").text();
  const std::string box = applied.payload.at("box").text();
  const std::string from = applied.payload.at("from").text();
  const std::int64_t bag = row_of_bag(code);
  const std::string place = applied.payload.at("place").text();
  if (box.empty()) {
    const std::int64_t there = place_row(applied, place);
    db.run("UPDATE bags SET box = NULL, now = ?1, home = ?1, until = '' WHERE id = ?2", there, bag);
  } else {
    db.run(
        "UPDATE bags SET (box, now, home) = (SELECT id, now, home FROM boxes WHERE code = ?1), until = ''"
        " WHERE id = ?2",
        box, bag);
  }
  db.run(
      "UPDATE items SET (box, place) = (SELECT box, home FROM bags WHERE id = ?1)"
      " WHERE id IN (SELECT item FROM bag_contents WHERE bag = ?1) AND NOT EXISTS (SELECT 1 FROM bag_contents o"
      " JOIN bags b ON b.id = o.bag JOIN bags here ON here.id = ?1 WHERE o.item = items.id AND b.box IS NOT here.box)",
      bag);
  for (const std::string* subject : {&code, &box, &from})
    if (!subject->empty() && (subject != &from || from != box)) note_subject(applied, *subject);
}

void apply_split(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::string from = applied.payload.at("bag").text();
  const std::string made = applied.payload.at("into").text();
  const std::string number = applied.payload.at("item").text();
  const std::int64_t bag = row_of_bag(from);
  const std::int64_t item = item_row(db, number);
  const std::int64_t quantity = applied.payload.at("quantity").integer();
  forget_plan(db, bag, item);
  db.run(
      "INSERT INTO bags(id, code, state, scope, mark, home, now, until, box, came_with)"
      " SELECT ?, ?, 'active', scope, '', home, now, until, box, ? FROM bags WHERE id = ?",
      row_of_bag(made), made, applied.position, bag);
  db.run("UPDATE stations SET bags = bags + 1 WHERE code = ?", applied.event.station);
  db.run("UPDATE bag_contents SET quantity = quantity - ? WHERE bag = ? AND item = ?", quantity, bag, item);
  db.run("INSERT INTO bag_contents(bag, item, quantity) VALUES(?, ?, ?)", row_of_bag(made), item, quantity);
  revise_listed(applied);
  for (const std::string* subject : {&from, &made, &number}) note_subject(applied, *subject);
}

void apply_combined(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::string from = applied.payload.at("from").text();
  const std::string into = applied.payload.at("into").text();
  const std::int64_t source = row_of_bag(from);
  const std::int64_t target = row_of_bag(into);
  std::vector<std::int64_t> items;
  Statement rows = db.prepare("SELECT item FROM bag_contents WHERE bag = ? ORDER BY item");
  rows.with(source);
  while (rows.step()) items.push_back(rows.integer(0));
  rows.reset();
  for (const std::int64_t item : items) {
    forget_plan(db, source, item);
    forget_plan(db, target, item);
    db.run(
        "INSERT INTO bag_contents(bag, item, quantity) SELECT ?1, item, quantity FROM bag_contents WHERE bag = ?2 AND"
        " item = ?3 ON CONFLICT(bag, item) DO UPDATE SET quantity = quantity + excluded.quantity",
        target, source, item);
    db.run("DELETE FROM bag_contents WHERE bag = ? AND item = ?", source, item);
  }
  db.run("UPDATE bags SET state = 'retired' WHERE id = ?", source);
  revise_listed(applied);
  note_subject(applied, from);
  note_subject(applied, into);
}

void apply_recounted(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::string bag = applied.payload.at("bag").text();
  const std::string number = applied.payload.at("item").text();
  const std::int64_t item = item_row(db, number);
  const std::int64_t quantity = applied.payload.at("quantity").integer();
  const std::int64_t before = applied.payload.at("before").integer();
  db.run("UPDATE bag_contents SET quantity = ?1, labelled = min(labelled, ?1) WHERE bag = ?2 AND item = ?3", quantity,
         row_of_bag(bag), item);
  db.run("UPDATE items SET count = count + ? WHERE id = ?", quantity - before, item);
  if (applied.payload.at("forget_plan").boolean()) forget_plan(db, row_of_bag(bag), item);
  revise_listed(applied);
  note_subject(applied, bag);
  note_subject(applied, number);
}

void apply_lent(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::string loan = applied.payload.at("loan").text();
  db.run("INSERT INTO loans(code, borrower, lent, until) VALUES(?, ?, ?, ?)", loan,
         applied.payload.at("borrower").text(), applied.event.time, applied.payload.at("until").text());
  const std::int64_t id = db.last_id();
  db.run("UPDATE stations SET loans = loans + 1 WHERE code = ?", applied.event.station);
  auto bags = applied.payload.at("bags").elements();
  while (const auto bag = bags.next()) {
    db.run("INSERT INTO loan_bags VALUES(?, ?, '')", id, row_of_bag(bag->text()));
    note_subject(applied, bag->text());
  }
  note_subject(applied, loan);
}

void apply_returned(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::string loan = applied.payload.at("loan").text();
  auto bags = applied.payload.at("bags").elements();
  while (const auto bag = bags.next()) {
    db.run("UPDATE loan_bags SET returned = ? WHERE loan = (SELECT id FROM loans WHERE code = ?) AND bag = ?",
           applied.event.time, loan, row_of_bag(bag->text()));
    note_subject(applied, bag->text());
  }
  note_subject(applied, loan);
}

}  // namespace sherdmark
