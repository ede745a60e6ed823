// Proving a ledger: the chain of hashes, the records as the sum of the events, references, the file itself.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "ledger/apply.h"
#include "ledger/core.h"
#include "ledger/migrate.h"
#include "ledger/schema.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/proof.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_most_problems = 100;

class Problems {
 public:
  explicit Problems(std::vector<std::string>& list) : list_(list) {}
  void add(std::string text) {
    if (list_.size() < k_most_problems) list_.push_back(std::move(text));
  }

 private:
  std::vector<std::string>& list_;
};

// Tells how far it has come a hundred times a part, not for every row.
class Steps {
 public:
  Steps(const ProofProgress& progress, std::string_view part, std::int64_t total)
      : progress_(progress), part_(part), total_(total), stride_(std::max<std::int64_t>(1, total / 100)) {
    tell();
  }
  void step() {
    ++done_;
    if (done_ % stride_ == 0 || done_ == total_) tell();
  }

 private:
  void tell() const {
    if (progress_) progress_({part_, done_, total_});
  }
  const ProofProgress& progress_;
  std::string_view part_;
  std::int64_t total_;
  std::int64_t stride_;
  std::int64_t done_ = 0;
};

Event read_event(const Statement& row) {
  return {row.text(1), row.integer(2), row.text(3), row.text(4), row.text(5), row.text(6), row.text(7), row.text(8)};
}

constexpr std::string_view k_events =
    "SELECT position, station, sequence, time, person, kind, payload, previous, hash FROM events ORDER BY position";

std::int64_t count_events(Database& db) { return db.find_integer("SELECT count(*) FROM events").value_or(0); }

void replay(Database& from, Database& into, const ProofProgress& progress) {
  Steps steps{progress, "records", count_events(from)};
  Statement rows = from.prepare(k_events);
  rows.with();
  while (rows.step()) {
    apply(into, rows.integer(0), read_event(rows));
    steps.step();
  }
}

void check_chain(Database& db, LedgerVerification& found, Problems& problems, const ProofProgress& progress) {
  Steps steps{progress, "events", count_events(db)};
  std::map<std::string, StationHead> heads;
  Statement rows = db.prepare(k_events);
  rows.with();
  while (rows.step()) {
    const Event event = read_event(rows);
    ++found.events;
    steps.step();
    // Events are taken in one after another and never removed, so their places in the file have no gaps.
    if (rows.integer(0) != found.events)
      problems.add(fmt::format("event {} of the file stands at place {}", found.events, rows.integer(0)));
    StationHead& head =
        heads.try_emplace(event.station, StationHead{event.station, 0, std::string(64, '0')}).first->second;
    if (event.sequence != head.sequence + 1)
      problems.add(fmt::format("station {}: after event {} comes event {}", printable(event.station), head.sequence,
                               event.sequence));
    if (event.previous != head.hash)
      problems.add(fmt::format("station {}, event {}: it does not follow the event before it", printable(event.station),
                               event.sequence));
    if (event_hash(event) != event.hash)
      problems.add(fmt::format("station {}, event {}: its content was altered after it was written",
                               printable(event.station), event.sequence));
    head = {event.station, event.sequence, event.hash};
  }
  for (auto& [station, head] : heads) found.heads.push_back(head);
}

std::string row_text(const Statement& row) {
  std::string text;
  for (int column = 0; column < row.columns(); ++column) {
    const std::string cell = row.tagged(column);
    text += fmt::format("{}:{}", cell.size(), cell);
  }
  return text;
}

// Rows are compared in the order of their primary keys. The text never quotes values: some are restricted.
void compare_table(Database& db, Database& rebuilt, std::string_view table, Problems& problems) {
  const std::string columns = table == "bag_contents" ? "*, unlabelled" : "*";
  const std::string sql = fmt::format("SELECT {} FROM {} ORDER BY 1, 2", columns, table);
  Statement stored = db.prepare_once(sql);
  Statement expected = rebuilt.prepare_once(sql);
  for (std::int64_t row = 1;; ++row) {
    const bool more_stored = stored.step();
    const bool more_expected = expected.step();
    if (!more_stored && !more_expected) return;
    if (more_stored && more_expected && row_text(stored) == row_text(expected)) continue;
    problems.add(fmt::format("records: table {}, row {}, is not what the events add up to", table, row));
    return;
  }
}

std::map<std::string, std::string> schema_of(Database& db) {
  std::map<std::string, std::string> schema;
  Statement rows = db.prepare("SELECT type || ' ' || name, sql FROM sqlite_schema WHERE sql IS NOT NULL");
  rows.with();
  while (rows.step()) schema[rows.text(0)] = rows.text(1);
  return schema;
}

// Tables, indexes, rules and triggers word for word: a rule that was loosened lets later changes through.
void compare_schema(Database& db, Database& rebuilt, Problems& problems) {
  const std::map<std::string, std::string> expected = schema_of(rebuilt);
  const std::map<std::string, std::string> stored = schema_of(db);
  for (const auto& [name, sql] : expected) {
    const auto found = stored.find(name);
    if (found == stored.end())
      problems.add(fmt::format("schema: {} is missing", name));
    else if (found->second != sql)
      problems.add(fmt::format("schema: {} was altered", name));
  }
  for (const auto& [name, sql] : stored)
    if (!expected.contains(name)) problems.add(fmt::format("schema: {} does not belong there", printable(name)));
}

void compare_records(Database& db, Problems& problems, const ProofProgress& progress) {
  Database rebuilt{{}, Database::Mode::temporary};
  rebuilt.execute("PRAGMA foreign_keys = OFF; PRAGMA synchronous = OFF; PRAGMA temp_store = FILE");
  rebuilt.execute("BEGIN");
  make_schema(rebuilt);
  compare_schema(db, rebuilt, problems);
  try {
    replay(db, rebuilt, progress);
  } catch (const Error& error) {
    if (error.family() == ErrorFamily::environment) throw;  // of this machine nothing follows for the ledger
    problems.add(fmt::format("records: the events cannot be added up ({})", error.problem()));
    return;
  }
  Steps steps{progress, "tables", static_cast<std::int64_t>(record_tables().size())};
  for (const std::string_view table : record_tables()) {
    compare_table(db, rebuilt, table, problems);
    steps.step();
  }
}

void check_file(Database& db, Problems& problems, const ProofProgress& progress) {
  Steps steps{progress, "file", 2};
  Statement integrity = db.prepare("PRAGMA integrity_check(20)");
  integrity.with();
  while (integrity.step())
    if (integrity.view(0) != "ok") problems.add(fmt::format("file: {}", printable(integrity.view(0))));
  steps.step();
  Statement references = db.prepare("PRAGMA foreign_key_check");
  references.with();
  while (references.step())
    problems.add(
        fmt::format("references: a row of {} points at a missing row of {}", references.view(0), references.view(2)));
  steps.step();
}

LedgerVerification prove(Database& db, const ProofProgress& progress) {
  const Snapshot snapshot{db};
  LedgerVerification found;
  Problems problems{found.problems};
  const auto part = [&problems](const auto& check) {
    try {
      check();
    } catch (const Error& error) {
      if (error.family() != ErrorFamily::data) throw;
      problems.add(error.problem());
    }
  };
  part([&] { check_chain(db, found, problems, progress); });
  part([&] { compare_records(db, problems, progress); });
  part([&] { check_file(db, problems, progress); });
  return found;
}

}  // namespace

LedgerVerification Ledger::verify() const { return prove(core_->db, {}); }

LedgerVerification prove_ledger(const std::filesystem::path& ledger, const ProofProgress& progress) {
  require_ledger_file(ledger);
  Database db{ledger, Database::Mode::read};
  require_own_version(schema_version_of(db), ledger);
  db.execute("PRAGMA cell_size_check = ON; PRAGMA temp_store = MEMORY; PRAGMA cache_size = -65536");
  return prove(db, progress);
}

void Ledger::rebuild() {
  if (read_only())
    throw environment_error("the ledger is open for reading only", {.file = file().string()}, "open it for writing");
  Database& db = core_->db;
  Transaction transaction{db};
  db.execute("PRAGMA defer_foreign_keys = ON");
  const auto tables = record_tables();
  for (auto table = tables.rbegin(); table != tables.rend(); ++table) db.execute(fmt::format("DELETE FROM {}", *table));
  replay(db, db, {});
  transaction.commit();
  load_standard(*core_);
}

}  // namespace sherdmark
