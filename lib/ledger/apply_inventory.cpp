// What inventories and numbers for found things do to the records. Payloads: docs/formats/ledger.md.
#include "ledger/apply.h"
#include "ledger/identity_rows.h"
#include "ledger/inventory_rows.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

std::int64_t inventory_row(const AppliedEvent& applied) {
  const std::string code = applied.payload.at("inventory").text();
  const auto id = applied.db.find_integer("SELECT id FROM inventories WHERE code = ?", code);
  if (!id) throw damaged("it names an inventory that is not there");
  note_subject(applied, code);
  return *id;
}

// Every active bag of the scope, where the ledger has it now, and what it should hold.
constexpr std::string_view k_freeze =
    "INSERT INTO inventory_expected(inventory, bag, place, exempt, box, pieces)"
    " SELECT ?1, b.id, h.id,"
    "  CASE WHEN EXISTS(SELECT 1 FROM loan_bags lb WHERE lb.bag = b.id AND lb.returned = '') THEN 'on loan'"
    "   WHEN EXISTS(SELECT 1 FROM bag_contents c JOIN items i ON i.id = c.item WHERE c.bag = b.id AND i.flags <> '[]'"
    "    AND EXISTS(SELECT 1 FROM json_each(i.flags) f JOIN json_each(?5) r ON r.value = f.value)) THEN 'restricted'"
    "   ELSE '' END,"
    "  coalesce(x.name, ''),"
    "  (SELECT CASE WHEN count(*) = count(c.quantity) THEN sum(c.quantity) END FROM bag_contents c WHERE c.bag = b.id)"
    " FROM bags b LEFT JOIN boxes x ON x.id = b.box"
    "  LEFT JOIN places h ON h.id = coalesce(b.now, x.now, b.home, x.home)"
    " WHERE b.state = 'active'"
    "  AND (?2 = '' OR h.path = ?2 OR substr(h.path, 1, length(?2) + 1) = ?2 || '/')"
    "  AND (?3 = '' OR EXISTS(SELECT 1 FROM bag_contents c JOIN items i ON i.id = c.item JOIN accessions a"
    "   ON a.id = i.accession WHERE c.bag = b.id AND a.name = ?3))"
    "  AND (?4 = '' OR EXISTS(SELECT 1 FROM bag_contents c JOIN items i ON i.id = c.item WHERE c.bag = b.id"
    "   AND i.status = ?4))"
    " ORDER BY b.id";

}  // namespace

void apply_inventory_opened(const AppliedEvent& applied) {
  Database& db = applied.db;
  const JsonObject& payload = applied.payload;
  const std::string code = payload.at("inventory").text();
  db.run(
      "INSERT INTO inventories(code, scope, opened, closed, place, accession, status, opened_by)"
      " VALUES(?, ?, ?, '', ?, ?, ?, ?)",
      code, payload.at("scope").text(), applied.event.time, payload.at("place").text(), payload.at("accession").text(),
      payload.at("status").text(), applied.event.person);
  db.run(k_freeze, db.last_id(), payload.at("place").text(), payload.at("accession").text(),
         payload.at("status").text(), payload.at("care_flags").raw());
  db.run("UPDATE stations SET inventories = inventories + 1 WHERE code = ?", applied.event.station);
  note_subject(applied, code);
}

void apply_inventory_seen(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::int64_t inventory = inventory_row(applied);
  Statement print = db.prepare(
      "SELECT l.role, p.ordinal, p.state, l.subject FROM prints p JOIN labels l ON l.id = p.label WHERE p.id = ?");
  Statement insert = db.prepare(
      "INSERT INTO inventory_seen(inventory, text, serial, bag, place, count, evidence, time, person, kind, role,"
      " ordinal, state, box, verdict, reasons) VALUES(?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
  auto lines = applied.payload.at("readings").elements();
  while (const auto line = lines.next()) {
    auto cell = line->elements();
    const std::string kind = cell.need().text();
    const std::string text = cell.need().text();
    const std::string serial = cell.need().text();
    const std::string bag = cell.need().text();
    const std::string place = cell.need().text();
    const std::string box = cell.need().text();
    const std::optional<std::int64_t> count = cell.need().maybe_integer();
    const std::string evidence = cell.need().text();
    const std::string verdict = cell.need().text();
    const std::string reasons = cell.need().text();
    const std::string time = cell.need().text();
    std::string role;
    std::string state;
    std::int64_t ordinal = 0;
    if (!serial.empty()) {
      state = "no print";
      if (print.with(row_of_serial(serial)).step()) {
        role = print.text(0);
        ordinal = print.integer(1);
        state = print.view(3) == bag ? print.text(2) : "another bag's";
      }
      print.reset();
    }
    insert.run(inventory, text, serial, bag, place, count, evidence, time.empty() ? applied.event.time : time,
               applied.event.person, kind, role, ordinal, state, box, verdict, reasons);
    if (!bag.empty()) note_subject(applied, bag);
  }
  auto given = applied.payload.at("found").elements();
  while (const auto line = given.next()) {
    auto cell = line->elements();
    const std::string number = cell.need().text();
    const std::string place = cell.need().text();
    const std::string what = cell.need().text();
    db.run(
        "UPDATE found_numbers SET state = 'open', inventory = ?, place = ?, what = ?, given = ? WHERE number = ?"
        " AND state = 'reserved'",
        inventory, place, what, applied.event.time, number);
    if (db.changes() != 1) throw damaged("a found number is given twice");
    note_subject(applied, number);
  }
}

// The newest reading that is the same did not happen; a found number it was given is free again.
void apply_inventory_taken_back(const AppliedEvent& applied) {
  Database& db = applied.db;
  const JsonObject& payload = applied.payload;
  const std::int64_t inventory = inventory_row(applied);
  const std::string bag = payload.at("bag").text();
  const std::string text = payload.at("text").text();
  db.run(
      "DELETE FROM inventory_seen WHERE id = (SELECT max(id) FROM inventory_seen WHERE inventory = ? AND bag = ? AND"
      " kind = ? AND text = ? AND serial = ? AND place = ? AND box = ?)",
      inventory, bag, payload.at("kind").text(), text, payload.at("serial").text(), payload.at("place").text(),
      payload.at("box").text());
  if (db.changes() != 1) throw damaged("it takes back a reading that is not there");
  if (!bag.empty()) note_subject(applied, bag);
  if (payload.at("kind").text() != "unlabelled") return;
  const std::string number = text.substr(0, text.find(k_after_found_number));
  db.run(
      "UPDATE found_numbers SET state = 'reserved', inventory = NULL, place = '', what = '', given = '' WHERE number = "
      "?"
      " AND state = 'open' AND inventory = ?",
      number, inventory);
  if (db.changes() != 1) throw damaged("it takes back a found number that is not open");
  note_subject(applied, number);
}

void apply_inventory_closed(const AppliedEvent& applied) {
  applied.db.run("UPDATE inventories SET closed = ?, closed_by = ? WHERE id = ?", applied.event.time,
                 applied.event.person, inventory_row(applied));
}

void apply_found_reserved(const AppliedEvent& applied) {
  auto numbers = applied.payload.at("numbers").elements();
  while (const auto number = numbers.next()) {
    applied.db.run("INSERT INTO found_numbers(number, state) VALUES(?, 'reserved')", number->text());
    note_subject(applied, number->text());
  }
}

void apply_found_resolved(const AppliedEvent& applied) {
  const std::string number = applied.payload.at("number").text();
  applied.db.run("UPDATE found_numbers SET state = 'resolved', resolution = ?, resolved = ? WHERE number = ?",
                 applied.payload.at("resolution").text(), applied.event.time, number);
  note_subject(applied, number);
}

}  // namespace sherdmark
