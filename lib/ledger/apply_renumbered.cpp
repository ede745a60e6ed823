// What changed numbers, late restrictions and assemblies do to the records. Payloads: docs/formats/ledger.md.
#include "ledger/apply.h"
#include "ledger/identity_rows.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

void add_former(Database& db, std::int64_t item, std::string_view written, std::string_view canonical,
                std::string_view source) {
  db.run("INSERT OR IGNORE INTO concordance(item, written, canonical, source) VALUES(?, ?, ?, ?)", item, written,
         canonical, source);
}

void forget_plans(Database& db, std::int64_t item) {
  db.run("DELETE FROM planned_pieces WHERE item = ?", item);
  db.run("UPDATE bag_contents SET labelled = 0 WHERE item = ?", item);
}

std::int64_t lot_row(const AppliedEvent& applied, std::int64_t item) {
  Database& db = applied.db;
  const std::string lot = applied.payload.at("lot").text();
  if (const auto id = db.find_integer("SELECT id FROM lots WHERE number = ?", lot)) return *id;
  db.run(
      "INSERT INTO lots(number, scheme, accession, site, provenience, came_with) SELECT ?, (SELECT id FROM schemes"
      " WHERE name = ?), accession, site, provenience, ? FROM items WHERE id = ?",
      lot, applied.payload.at("scheme").text(), applied.position, item);
  return db.last_id();
}

}  // namespace

void apply_renumbered(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::string from = applied.payload.at("from").text();
  const std::string to = applied.payload.at("to").text();
  const std::int64_t item = item_row(db, from);
  add_former(db, item, from, from, "renumbered");
  db.run(
      "INSERT OR IGNORE INTO concordance(item, written, canonical, source) SELECT item, number, number, 'renumbered'"
      " FROM pieces WHERE item = ? ORDER BY id",
      item);
  db.run("DELETE FROM pieces WHERE item = ?", item);
  forget_plans(db, item);
  db.run(
      "UPDATE prints SET state = 'superseded' WHERE state IN ('generated', 'printed', 'applied') AND label IN"
      " (SELECT id FROM labels WHERE role = 'artifact' AND subject = ?)",
      from);
  db.run("UPDATE labels SET subject = ?, copies = 0 WHERE role = 'artifact' AND subject = ?", to, from);
  const std::int64_t lot = lot_row(applied, item);
  db.run("UPDATE items SET number = ?, lot = ? WHERE id = ?", to, lot, item);
  db.run("INSERT OR IGNORE INTO event_subjects SELECT ?, event FROM event_subjects WHERE subject = ?", to, from);
  revise_listed(applied);
  note_subject(applied, from);
  note_subject(applied, to);
}

void apply_restricted(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::string number = applied.payload.at("item").text();
  const std::int64_t item = item_row(db, number);
  db.run("UPDATE items SET flags = ? WHERE id = ?", applied.payload.at("flags").raw(), item);
  db.run("INSERT OR REPLACE INTO decisions VALUES(?, 'never', 'care flags', ?, '')", item,
         applied.payload.at("decision").text());
  forget_plans(db, item);
  auto labels = applied.payload.at("withdrawn").elements();
  while (const auto line = labels.next()) {
    auto cell = line->elements();
    const std::string role = cell.need().text();
    const std::string name = cell.need().text();
    db.run("UPDATE labels SET copies = 0 WHERE role = ? AND name = ? AND current = 1", role, name);
    if (role != "artifact") note_subject(applied, name);
  }
  auto serials = applied.payload.at("void").elements();
  while (const auto serial = serials.next()) {
    const std::string text = serial->text();
    db.run("UPDATE prints SET state = 'void' WHERE id = ?", row_of_serial(text));
    db.run("DELETE FROM filed_prints WHERE print = ?", row_of_serial(text));
    note_subject(applied, text);
  }
  note_subject(applied, number);
}

void apply_restriction_lifted(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::string number = applied.payload.at("item").text();
  const std::int64_t item = item_row(db, number);
  db.run("UPDATE items SET flags = ? WHERE id = ?", applied.payload.at("flags").raw(), item);
  if (!applied.payload.at("still_restricted").boolean()) db.run("DELETE FROM decisions WHERE item = ?", item);
  note_subject(applied, number);
}

void apply_concordance(const AppliedEvent& applied) {
  const std::string source = applied.payload.at("source").text();
  auto rows = applied.payload.at("rows").elements();
  while (const auto row = rows.next()) {
    auto cell = row->elements();
    const std::string item = cell.need().text();
    const std::string written = cell.need().text();
    add_former(applied.db, item_row(applied.db, item), written, cell.need().text(), source);
    note_subject(applied, item);
    note_subject(applied, written);
  }
}

void apply_assembled(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::string name = applied.payload.at("assembly").text();
  const bool joined = applied.payload.at("joined").boolean();
  db.run("INSERT OR IGNORE INTO assemblies(name) VALUES(?)", name);
  auto items = applied.payload.at("items").elements();
  while (const auto item = items.next()) {
    const std::string number = item->text();
    const std::int64_t row = item_row(db, number);
    db.run("DELETE FROM assembly_members WHERE item = ?", row);
    if (joined) db.run("INSERT INTO assembly_members VALUES(?, (SELECT id FROM assemblies WHERE name = ?))", row, name);
    note_subject(applied, number);
  }
  note_subject(applied, name);
}

}  // namespace sherdmark
