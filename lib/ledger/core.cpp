#include "ledger/core.h"

#include <fmt/format.h>

#include "ledger/apply.h"
#include "ledger/schema.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/hash.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

const std::string k_no_previous(64, '0');

void require_known(Database& db, const Actor& actor, std::string_view kind) {
  if (kind == "founded") return;
  if (!db.find_integer("SELECT id FROM persons WHERE name = ?", actor.person))
    throw unknown_thing("person", actor.person, "register the person first, or check the spelling");
  if (kind != "station" && !db.find_text("SELECT code FROM stations WHERE code = ?", actor.station))
    throw unknown_thing("station", actor.station, "let this computer register itself as a station");
}

}  // namespace

Error unknown_thing(std::string_view what, std::string_view name, std::string remedy) {
  return usage_error(fmt::format("the ledger knows no {} \"{}\"", what, printable(name)), std::move(remedy));
}

Event append_event(Database& db, const Actor& actor, std::string_view kind, std::string payload, TimePoint time) {
  require_known(db, actor, kind);
  Event event;
  event.station = actor.station;
  event.person = actor.person;
  event.kind = kind;
  event.time = format_time(time);
  event.payload = std::move(payload);
  event.sequence = 1;
  event.previous = k_no_previous;
  Statement last = db.prepare("SELECT sequence, hash FROM events WHERE station = ? ORDER BY sequence DESC LIMIT 1");
  if (last.with(actor.station).step()) {
    event.sequence = last.integer(0) + 1;
    event.previous = last.text(1);
  }
  last.reset();
  event.hash = event_hash(event);
  db.run(
      "INSERT INTO events(station, sequence, time, person, kind, previous, hash, payload) VALUES(?, ?, ?, ?, ?, ?, ?, "
      "?)",
      event.station, event.sequence, event.time, event.person, event.kind, event.previous, event.hash, event.payload);
  apply(db, db.last_id(), event);
  return event;
}

void LedgerCore::require_writable() const {
  if (read_only())
    throw environment_error("the ledger is open for reading only", {.file = db.file().string()},
                            "open it for writing to change it");
}

void LedgerCore::together(const std::function<void()>& acts) {
  require_writable();
  Transaction transaction{db};
  acts();
  transaction.commit();
}

void LedgerCore::write(const Actor& actor, std::string_view kind, std::string payload,
                       const std::function<void(Database&)>& before_commit) {
  require_writable();
  Transaction transaction{db};
  append_event(db, actor, kind, std::move(payload), clock->now());
  if (before_commit) before_commit(db);
  transaction.commit();
}

std::int64_t schema_version_of(Database& db) {
  if (db.find_integer("PRAGMA application_id").value_or(0) != k_application_id)
    throw data_error("this is not a ledger", {.file = db.file().string()}, "name the collection's .ledger file");
  return db.find_integer("PRAGMA user_version").value_or(0);
}

void set_connection_rules(Database& db) {
  db.execute(
      "PRAGMA foreign_keys = ON; PRAGMA recursive_triggers = ON; PRAGMA journal_mode = DELETE; PRAGMA synchronous = "
      "EXTRA;"
      "PRAGMA cell_size_check = ON; PRAGMA temp_store = MEMORY; PRAGMA cache_size = -65536");
}

void load_standard(LedgerCore& core) {
  const std::optional<std::string> source =
      core.db.find_text("SELECT source FROM standards ORDER BY version DESC LIMIT 1");
  if (!source)
    throw data_error("the ledger carries no house standard", {.file = core.db.file().string()},
                     "the file is damaged: work on with the last backup");
  core.standard = parse_house_standard(*source, "the house standard in " + core.db.file().string());
}

void write_standard(JsonWriter& out, const HouseStandard& standard) {
  if (standard.source.empty()) throw internal_error("a house standard without its source text");
  out.begin_object();
  out.key("edition").text(standard.version);
  out.key("name").text(standard.name);
  out.key("schemes").begin_array();
  for (const Scheme& scheme : standard.schemes) out.text(scheme.name());
  out.end_array();
  out.key("sha256").text(sha256_hex(standard.source));
  out.key("source").text(standard.source);
  out.end_object();
}

std::vector<StationHead> station_heads(Database& db) {
  std::vector<StationHead> heads;
  Statement stations = db.prepare("SELECT code FROM stations ORDER BY code");
  stations.with();
  while (stations.step()) {
    Statement last = db.prepare("SELECT sequence, hash FROM events WHERE station = ? ORDER BY sequence DESC LIMIT 1");
    if (last.with(stations.view(0)).step()) heads.push_back({stations.text(0), last.integer(0), last.text(1)});
  }
  return heads;
}

std::string state_of(Database& db) {
  std::string state;
  for (const StationHead& head : station_heads(db))
    state += fmt::format("{}:{}:{};", head.station, head.sequence, head.hash);
  return state;
}

}  // namespace sherdmark
