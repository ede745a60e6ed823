// What handheld scanners do to the records. Payloads: docs/formats/ledger.md.
#include "ledger/apply.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

std::int64_t session_row(const AppliedEvent& applied) {
  const auto id =
      applied.db.find_integer("SELECT id FROM scan_sessions WHERE code = ?", applied.payload.at("session").text());
  if (!id) throw damaged("it names a scanning session that is not there");
  return *id;
}

}  // namespace

void apply_keyboard(const AppliedEvent& applied) {
  const JsonObject& payload = applied.payload;
  applied.db.run("INSERT OR REPLACE INTO keyboards VALUES(?, ?, ?, ?, ?, ?)", applied.event.station,
                 payload.at("layout").text(), static_cast<std::int64_t>(payload.at("swapped_case").boolean() ? 1 : 0),
                 payload.at("prefix").text(), payload.at("suffix").text(), applied.event.time);
}

void apply_scan_opened(const AppliedEvent& applied) {
  const std::string code = applied.payload.at("session").text();
  applied.db.run("INSERT INTO scan_sessions(code, station, person, started) VALUES(?, ?, ?, ?)", code,
                 applied.event.station, applied.event.person, applied.event.time);
  note_subject(applied, code);
}

void apply_scanned(const AppliedEvent& applied) {
  applied.db.run("INSERT INTO scans(session, heard, time) VALUES(?, ?, ?)", session_row(applied),
                 applied.payload.at("heard").text(), applied.event.time);
  const std::string bag = applied.payload.at("bag").text();
  if (!bag.empty()) note_subject(applied, bag);
  note_subject(applied, applied.payload.at("session").text());
}

void apply_scan_closed(const AppliedEvent& applied) {
  applied.db.run("UPDATE scan_sessions SET ended = ? WHERE id = ?", applied.event.time, session_row(applied));
  note_subject(applied, applied.payload.at("session").text());
}

}  // namespace sherdmark
