// What audits and box lists do to the records. Payloads: docs/formats/ledger.md.
#include "ledger/apply.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

std::int64_t audit_row(const AppliedEvent& applied) {
  const std::string code = applied.payload.at("audit").text();
  const auto id = applied.db.find_integer("SELECT id FROM audits WHERE code = ?", code);
  if (!id) throw damaged("it names an audit that is not there");
  note_subject(applied, code);
  return *id;
}

}  // namespace

void apply_audit_drawn(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::string code = applied.payload.at("audit").text();
  const std::string before = applied.payload.at("redraw_of").text();
  db.run(
      "INSERT INTO audits(code, design, drawn, redraw_of, conclusion, person) VALUES(?, ?, ?, (SELECT id FROM audits"
      " WHERE code = ?), '', ?)",
      code, applied.payload.at("design").raw(), applied.event.time, before, applied.event.person);
  const std::int64_t id = db.last_id();
  std::int64_t rank = 0;
  auto draws = applied.payload.at("draws").elements();
  while (const auto line = draws.next()) {
    auto cell = line->elements();
    const std::string subject = cell.need().text();
    const std::string stratum = cell.need().text();
    db.run(
        "INSERT INTO audit_draws(audit, rank, subject, outcome, reason, place, stratum) VALUES(?, ?, ?, '', '', ?, ?)",
        id, ++rank, subject, cell.need().text(), stratum);
    note_subject(applied, subject);
  }
  db.run("UPDATE stations SET audits = audits + 1 WHERE code = ?", applied.event.station);
  note_subject(applied, code);
  if (!before.empty()) note_subject(applied, before);
}

void apply_audit_recorded(const AppliedEvent& applied) {
  const std::int64_t audit = audit_row(applied);
  auto results = applied.payload.at("results").elements();
  while (const auto line = results.next()) {
    auto cell = line->elements();
    const std::int64_t rank = cell.need().integer();
    const std::string subject = cell.need().text();
    const std::string outcome = cell.need().text();
    const std::string reason = cell.need().text();
    applied.db.run(
        "UPDATE audit_draws SET outcome = ?, reason = ?, evidence = ?, time = ?, person = ? WHERE audit = ? AND rank = "
        "?",
        outcome, reason, cell.need().text(), applied.event.time, applied.event.person, audit, rank);
    note_subject(applied, subject);
  }
}

void apply_audit_concluded(const AppliedEvent& applied) {
  const std::int64_t audit = audit_row(applied);
  applied.db.run("UPDATE audits SET conclusion = ?, concluded = ? WHERE id = ?", applied.payload.at("conclusion").raw(),
                 applied.event.time, audit);
}

void apply_box_list(const AppliedEvent& applied) {
  const std::string box = applied.payload.at("box").text();
  applied.db.run(
      "INSERT INTO box_lists(box, revision, contents, time, person) VALUES((SELECT id FROM boxes WHERE name = ?), ?, ?,"
      " ?, ?)",
      box, applied.payload.at("revision").integer(), applied.payload.at("contents").text(), applied.event.time,
      applied.event.person);
  note_subject(applied, box);
}

}  // namespace sherdmark
