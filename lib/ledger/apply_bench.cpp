// What the bench does to the records: copies filed, sheets closed, bags closed. Payloads: docs/formats/ledger.md.
#include "ledger/apply.h"
#include "ledger/identity_rows.h"
#include "sherdmark/base/error.h"

namespace sherdmark {

void apply_filed(const AppliedEvent& applied) {
  const std::string reason = applied.payload.at("reason").text();
  auto serials = applied.payload.at("serials").elements();
  while (const auto serial = serials.next()) {
    const std::string text = serial->text();
    applied.db.run("INSERT OR REPLACE INTO filed_prints VALUES(?, ?, ?)", row_of_serial(text), reason,
                   applied.event.time);
    note_subject(applied, text);
  }
}

void apply_sheet_closed(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::string code = applied.payload.at("run").text();
  const auto run = db.find_integer("SELECT id FROM runs WHERE code = ?", code);
  if (!run) throw damaged("it names a run that is not there");
  auto pages = applied.payload.at("pages").elements();
  while (const auto page = pages.next())
    db.run("INSERT OR REPLACE INTO closed_sheets VALUES(?, ?, ?, ?)", *run, page->integer(), applied.event.time,
           applied.event.person);
  note_subject(applied, code);
}

void apply_bagged(const AppliedEvent& applied) {
  const std::string bag = applied.payload.at("bag").text();
  applied.db.run("INSERT INTO baggings(bag, early, reason, time, person) VALUES(?, ?, ?, ?, ?)", row_of_bag(bag),
                 static_cast<std::int64_t>(applied.payload.at("early").boolean() ? 1 : 0),
                 applied.payload.at("reason").text(), applied.event.time, applied.event.person);
  note_subject(applied, bag);
}

}  // namespace sherdmark
