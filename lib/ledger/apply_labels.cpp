// What plans, runs and people's words about prints do to the records. Payloads: docs/formats/ledger.md.
#include <fmt/format.h>

#include "ledger/apply.h"
#include "ledger/identity_rows.h"
#include "sherdmark/base/error.h"
#include "sherdmark/ledger/identity.h"

namespace sherdmark {
namespace {

std::int64_t must_find(const std::optional<std::int64_t>& id, std::string_view what) {
  if (!id) throw damaged(fmt::format("it names {} that is not there", what));
  return *id;
}

std::int64_t run_id(Database& db, std::string_view code) {
  return must_find(db.find_integer("SELECT id FROM runs WHERE code = ?", code), "a run");
}

void supersede_prints(Database& db, std::int64_t label) {
  db.run("UPDATE prints SET state = 'superseded' WHERE label = ? AND state IN ('generated', 'printed', 'applied')",
         label);
}

void set_decision(Database& db, const JsonView& line) {
  auto cell = line.elements();
  const std::int64_t item = item_row(db, cell.need().text());
  const std::string decision = cell.need().text();
  const std::string rule = cell.need().text();
  const std::string reason = cell.need().text();
  db.run("INSERT OR REPLACE INTO decisions VALUES(?, ?, ?, ?, ?)", item, decision, rule, reason, cell.need().text());
}

void set_label(Database& db, const JsonView& line) {
  auto cell = line.elements();
  const std::string role = cell.need().text();
  const std::string subject = cell.need().text();
  const std::string name = cell.need().text();
  const std::string number = cell.need().text();
  const std::string text = cell.need().text();
  const std::int64_t revision = cell.need().integer();
  const std::int64_t copies = cell.need().integer();
  Statement current = db.prepare("SELECT id, revision FROM labels WHERE role = ? AND name = ? AND current = 1");
  const bool known = current.with(role, name).step();
  if (known && current.integer(1) == revision) {
    db.run("UPDATE labels SET subject = ?, number = ?, text = ?, copies = ? WHERE id = ?", subject, number, text,
           copies, current.integer(0));
    return;
  }
  if (known) {
    supersede_prints(db, current.integer(0));
    db.run("UPDATE labels SET current = 0 WHERE id = ?", current.integer(0));
  }
  db.run("INSERT INTO labels VALUES(NULL, ?, ?, ?, ?, ?, ?, ?, 1)", role, subject, name, number, text, revision,
         copies);
}

// Where the artifact labels of one item lie: replaces what was planned before.
void set_pieces(Database& db, const JsonView& line) {
  auto cell = line.elements();
  const std::string number = cell.need().text();
  const std::int64_t item = item_row(db, number);
  db.run("DELETE FROM planned_pieces WHERE item = ?", item);
  auto places = cell.need().elements();
  while (const auto place = places.next()) {
    auto part = place->elements();
    const std::string piece = part.need().text();
    const std::string bag = part.need().text();
    std::optional<std::int64_t> bag_id;
    if (!bag.empty()) bag_id = must_find(db.find_integer("SELECT id FROM bags WHERE id = ?", row_of_bag(bag)), "a bag");
    db.run("INSERT INTO planned_pieces VALUES(?, ?, ?, ?)", piece, item, bag_id, part.need().integer());
    if (piece != number) db.run("INSERT OR IGNORE INTO pieces(item, number) VALUES(?, ?)", item, piece);
  }
  db.run(
      "UPDATE bag_contents SET labelled = coalesce((SELECT sum(copies) FROM planned_pieces p"
      " WHERE p.item = bag_contents.item AND p.bag = bag_contents.bag), 0) WHERE item = ?",
      item);
}

void retire_label(Database& db, const JsonView& line) {
  auto cell = line.elements();
  const std::string role = cell.need().text();
  const std::int64_t label = must_find(
      db.find_integer("SELECT id FROM labels WHERE role = ? AND name = ? AND current = 1", role, cell.need().text()),
      "a label");
  supersede_prints(db, label);
  db.run("UPDATE labels SET copies = 0 WHERE id = ?", label);
}

void make_prints(const AppliedEvent& applied, std::int64_t run, const std::string& role) {
  Database& db = applied.db;
  std::int64_t next = identity_count(applied.payload.at("first_serial"));
  Statement insert = db.prepare(
      "INSERT INTO prints(id, serial, label, run, ordinal, copy, state) VALUES(?, ?, ?, ?, ?, ?, 'generated')");
  auto lines = applied.payload.at("prints").elements();
  while (const auto line = lines.next()) {
    auto cell = line->elements();
    const std::string name = cell.need().text();
    const std::int64_t revision = cell.need().integer();
    const std::int64_t label = must_find(
        db.find_integer("SELECT id FROM labels WHERE role = ? AND name = ? AND revision = ?", role, name, revision),
        "a label");
    const std::int64_t ordinal = cell.need().integer();
    const std::int64_t copies = identity_count(cell.need());
    const std::int64_t first_copy = identity_count(cell.need());
    for (std::int64_t i = 0; i < copies; ++i) {
      const std::string serial = make_serial(applied.event.station, next++);
      insert.run(row_of_serial(serial), serial, label, run, ordinal, first_copy + i);
    }
  }
  db.run("UPDATE stations SET prints = ?, runs = runs + 1 WHERE code = ?", next - 1, applied.event.station);
}

}  // namespace

void revise_label(Database& db, std::string_view role, std::string_view name) {
  const std::int64_t label = must_find(
      db.find_integer("SELECT id FROM labels WHERE role = ? AND name = ? AND current = 1", role, name), "a label");
  supersede_prints(db, label);
  db.run("UPDATE labels SET current = 0 WHERE id = ?", label);
  db.run(
      "INSERT INTO labels SELECT NULL, role, subject, name, number, NULL, revision + 1, copies, 1 FROM labels"
      " WHERE id = ?",
      label);
}

void apply_plan(const AppliedEvent& applied) {
  const auto for_each = [&](std::string_view key, void (*act)(Database&, const JsonView&)) {
    auto lines = applied.payload.at(key).elements();
    while (const auto line = lines.next()) act(applied.db, *line);
  };
  for_each("decisions", set_decision);
  for_each("retired", retire_label);
  for_each("labels", set_label);
  for_each("pieces", set_pieces);
}

void apply_run(const AppliedEvent& applied) {
  Database& db = applied.db;
  auto abandoned = applied.payload.at("abandoned").elements();
  while (const auto code = abandoned.next()) {
    const std::int64_t run = run_id(db, code->text());
    db.run("UPDATE prints SET state = 'spoiled' WHERE run = ? AND state = 'generated'", run);
    db.run("UPDATE runs SET state = 'abandoned' WHERE id = ?", run);
  }
  auto replaced = applied.payload.at("replaced").elements();
  while (const auto serial = replaced.next())
    db.run(
        "UPDATE prints SET state = CASE state WHEN 'applied' THEN 'superseded' ELSE 'spoiled' END WHERE id = ?"
        " AND state IN ('generated', 'printed', 'applied')",
        row_of_serial(serial->text()));
  const std::string code = applied.payload.at("run").text();
  const std::string role = applied.payload.at("role").text();
  const std::string reprint_of = applied.payload.at("reprint_of").text();
  std::optional<std::int64_t> origin;
  if (!reprint_of.empty()) origin = run_id(db, reprint_of);
  db.run("INSERT INTO runs VALUES(NULL, ?, ?, 'open', 0, ?, ?, ?)", code, role, origin, applied.event.time,
         applied.event.person);
  make_prints(applied, db.last_id(), role);
  note_subject(applied, code);
  if (!reprint_of.empty()) note_subject(applied, reprint_of);
}

// "page_runs": [page, how many prints in a row] over the prints in the order of their making.
void apply_pages(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::string code = applied.payload.at("run").text();
  const std::int64_t run = run_id(db, code);
  std::int64_t print = must_find(db.find_integer("SELECT min(id) FROM prints WHERE run = ?", run), "a print");
  auto lines = applied.payload.at("page_runs").elements();
  while (const auto line = lines.next()) {
    auto cell = line->elements();
    const std::int64_t page = cell.need().integer();
    const std::int64_t prints = identity_count(cell.need());
    db.run("UPDATE prints SET page = ? WHERE run = ? AND id >= ? AND id < ?", page, run, print, print + prints);
    print += prints;
  }
  db.run("UPDATE runs SET state = 'generated', pages = ? WHERE id = ?", applied.payload.at("pages").integer(), run);
  note_subject(applied, code);
}

void apply_printed(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::string code = applied.payload.at("run").text();
  const std::int64_t run = run_id(db, code);
  auto pages = applied.payload.at("pages").elements();
  while (const auto page = pages.next())
    db.run("UPDATE prints SET state = 'printed' WHERE run = ? AND page = ? AND state = 'generated'", run,
           page->integer());
  db.run(
      "UPDATE runs SET state = 'printed' WHERE id = ?1 AND NOT EXISTS(SELECT 1 FROM prints WHERE run = ?1 AND"
      " state = 'generated')",
      run);
  note_subject(applied, code);
}

void apply_print_states(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::string& kind = applied.event.kind;
  const std::string_view state = kind == "voided" ? "void" : std::string_view{kind};
  auto serials = applied.payload.at("serials").elements();
  while (const auto serial = serials.next()) {
    const std::string text = serial->text();
    const std::int64_t row = row_of_serial(text);
    must_find(db.find_integer("SELECT id FROM prints WHERE id = ?", row), "a print");
    db.run("UPDATE prints SET state = ? WHERE id = ?", state, row);
    if (kind == "applied") db.run("UPDATE prints SET applied = ? WHERE id = ?", applied.event.time, row);
    db.run("DELETE FROM filed_prints WHERE print = ?", row);
    note_subject(applied, text);
  }
}

void apply_revised(const AppliedEvent& applied) {
  const std::string name = applied.payload.at("name").text();
  revise_label(applied.db, applied.payload.at("role").text(), name);
  note_subject(applied, name);
}

}  // namespace sherdmark
