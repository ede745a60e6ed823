#include "sherdmark/ledger/scan_log.h"

#include "ledger/core.h"

namespace sherdmark {
namespace {

std::optional<ScanSessionRecord> read_session(Database& db, const Statement& row) {
  ScanSessionRecord session{row.text(1), row.text(2), row.text(3), row.text(4), row.text(5), {}};
  Statement scans = db.prepare("SELECT heard FROM scans WHERE session = ? ORDER BY id");
  scans.with(row.integer(0));
  while (scans.step()) session.heard.push_back(scans.text(0));
  return session;
}

}  // namespace

void write_as_one(Ledger& ledger, const std::function<void()>& acts) { core_of(ledger).together(acts); }

std::string open_scan_session(Ledger& ledger, const Actor& actor) {
  LedgerCore& core = core_of(ledger);
  const std::int64_t next =
      1 + core.db.find_integer("SELECT count(*) FROM scan_sessions WHERE station = ?", actor.station).value_or(0);
  std::string id = make_identity(IdentityKind::scan, actor.station, next);
  JsonWriter out;
  out.begin_object().key("session").text(id).end_object();
  core.write(actor, "scan opened", out.take());
  return id;
}

void record_scan(Ledger& ledger, const Actor& actor, const std::string& session, const std::string& heard,
                 const std::string& bag) {
  JsonWriter out;
  out.begin_object().key("bag").text(bag).key("heard").text(heard).key("session").text(session).end_object();
  core_of(ledger).write(actor, "scanned", out.take());
}

void close_scan_session(Ledger& ledger, const Actor& actor, const std::string& session) {
  JsonWriter out;
  out.begin_object().key("session").text(session).end_object();
  core_of(ledger).write(actor, "scan closed", out.take());
}

std::optional<ScanSessionRecord> open_session_of(const Ledger& ledger, const std::string& station) {
  Database& db = core_of(ledger).db;
  Statement row = db.prepare(
      "SELECT id, code, station, person, started, ended FROM scan_sessions WHERE station = ? AND ended = ''"
      " ORDER BY id DESC LIMIT 1");
  if (!row.with(station).step()) return std::nullopt;
  return read_session(db, row);
}

std::optional<ScanSessionRecord> find_scan_session(const Ledger& ledger, const std::string& id) {
  Database& db = core_of(ledger).db;
  Statement row = db.prepare("SELECT id, code, station, person, started, ended FROM scan_sessions WHERE code = ?");
  if (!row.with(id).step()) return std::nullopt;
  return read_session(db, row);
}

std::optional<std::string> path_of_place(const Ledger& ledger, const std::string& id) {
  Database& db = core_of(ledger).db;
  if (auto path = db.find_text("SELECT path FROM places WHERE code = ?", id)) return path;
  return db.find_text(
      "SELECT p.path FROM boxes x JOIN places p ON p.id = coalesce(x.now, x.home) WHERE x.code = ?1 OR x.name = ?1",
      id);
}

void remember_keyboard(Ledger& ledger, const Actor& actor, const KeyboardSetup& keyboard) {
  if (keyboard_of(ledger, actor.station) == keyboard) return;
  JsonWriter out;
  out.begin_object().key("layout").text(layout_text(keyboard)).key("prefix").text(keyboard.prefix);
  out.key("suffix").text(keyboard.suffix).key("swapped_case").boolean(keyboard.swapped_case).end_object();
  core_of(ledger).write(actor, "keyboard", out.take());
}

std::optional<KeyboardSetup> keyboard_of(const Ledger& ledger, const std::string& station) {
  Statement row =
      core_of(ledger).db.prepare("SELECT layout, swapped_case, prefix, suffix FROM keyboards WHERE station = ?");
  if (!row.with(station).step()) return std::nullopt;
  KeyboardSetup setup;
  if (!parse_layout(row.view(0), setup)) return std::nullopt;  // of a newer program: the scanner is set up again
  setup.swapped_case = row.integer(1) != 0;
  setup.prefix = row.text(2);
  setup.suffix = row.text(3);
  return setup;
}

}  // namespace sherdmark
