// Making, opening and closing a ledger; persons, stations and the house standard.
#include "sherdmark/ledger/ledger.h"

#include <fmt/format.h>

#include "ledger/core.h"
#include "ledger/migrate.h"
#include "ledger/schema.h"
#include "ledger/stations.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/folders.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/unfinished.h"

namespace sherdmark {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t k_longest_name = 200;

void require_person_name(const std::string& name) {
  if (name.empty() || trim(name) != name || name.size() > k_longest_name || printable(name) != name)
    throw usage_error(fmt::format("\"{}\" cannot be a person's name", printable(name)),
                      "give a name of 1 to 200 characters without control characters or spaces at its ends");
}

void found(const fs::path& file, const HouseStandard& standard, const LedgerAccess& access, Clock& clock,
           RandomSource& random) {
  Database db{file, Database::Mode::create};
  db.execute("PRAGMA page_size = 8192");
  set_connection_rules(db);
  Transaction transaction{db};
  make_schema(db);
  const std::string key = make_collection_key(random);
  JsonWriter payload;
  payload.begin_object();
  payload.key("key").text(key);
  payload.key("machine").text(machine_mark(key, access.machine));
  payload.key("standard");
  write_standard(payload, standard);
  payload.end_object();
  append_event(db, {access.person, make_station_code(random)}, "founded", payload.take(), clock.now());
  transaction.commit();
}

void bring_up_to_date(LedgerCore& core, std::int64_t version) {
  if (version == k_schema_version) return;
  const fs::path copy = migrate(core.db, version, k_schema_version, known_migrations());
  core.notices.push_back(fmt::format("The ledger was brought from version {} to {}; the file as it was is kept as {}.",
                                     version, k_schema_version, copy.string()));
}

}  // namespace

void require_ledger_file(const fs::path& file) {
  std::error_code ignored;
  if (!fs::is_regular_file(file, ignored))
    throw environment_error("there is no such ledger", {.file = file.string()},
                            "go to the folder where it lies, or name it with --ledger FILE; make a new one (sherdmark "
                            "init) only for a new collection");
}

Ledger::Ledger(std::unique_ptr<LedgerCore> core) : core_(std::move(core)) {}
LedgerCore& core_of(Ledger& ledger) { return *ledger.core_; }
const LedgerCore& core_of(const Ledger& ledger) { return *ledger.core_; }
Ledger::~Ledger() = default;
Ledger::Ledger(Ledger&&) noexcept = default;
Ledger& Ledger::operator=(Ledger&&) noexcept = default;

Ledger Ledger::create(const fs::path& file, const HouseStandard& standard, const LedgerAccess& access, Clock& clock,
                      RandomSource& random) {
  require_person_name(access.person);
  if (fs::exists(file))
    throw environment_error("this file is already there", {.file = file.string()},
                            "name another file; a ledger is never overwritten");
  {
    const Unfinished made{file};
    found(made.path(), standard, access, clock, random);
    put_into_place(made.path(), file);
  }
  return open(file, access, clock, random);
}

Ledger Ledger::open(const fs::path& file, const LedgerAccess& access, Clock& clock, RandomSource& random) {
  require_ledger_file(file);
  auto core = std::make_unique<LedgerCore>(file, Database::Mode::write);
  const std::int64_t version = schema_version_of(core->db);
  if (version > k_schema_version) require_own_version(version, file);
  set_connection_rules(core->db);
  core->clock = &clock;
  core->random = &random;
  core->access = access;
  core->lock = std::make_unique<WriterLock>(core->db, access, clock.now(), core->notices);
  bring_up_to_date(*core, schema_version_of(core->db));  // as it is under the lock: another may have done it meanwhile
  load_standard(*core);
  return Ledger{std::move(core)};
}

Ledger Ledger::open_read_only(const fs::path& file) {
  require_ledger_file(file);
  auto core = std::make_unique<LedgerCore>(file, Database::Mode::read);
  const std::int64_t version = schema_version_of(core->db);
  if (version > k_schema_version)
    core->notices.push_back(
        fmt::format("The ledger was written by a newer program (version {}); it is open for reading only.", version));
  if (version < k_schema_version) require_own_version(version, file);
  core->db.execute("PRAGMA cell_size_check = ON; PRAGMA temp_store = MEMORY; PRAGMA cache_size = -65536");
  load_standard(*core);
  return Ledger{std::move(core)};
}

const HouseStandard& Ledger::standard() const { return core_->standard; }
const fs::path& Ledger::file() const { return core_->db.file(); }
bool Ledger::read_only() const { return core_->read_only(); }
const std::vector<std::string>& Ledger::notices() const { return core_->notices; }

void Ledger::register_person(const Actor& actor, const std::string& person) {
  require_person_name(person);
  if (core_->db.find_integer("SELECT id FROM persons WHERE name = ?", person))
    throw usage_error(fmt::format("{} is in the register already", person), "use the name as it stands there");
  JsonWriter payload;
  payload.begin_object().key("person").text(person).end_object();
  core_->write(actor, "person", payload.take());
}

std::vector<std::string> Ledger::persons() const {
  std::vector<std::string> names;
  Statement rows = core_->db.prepare("SELECT name FROM persons ORDER BY id");
  rows.with();
  while (rows.step()) names.push_back(rows.text(0));
  return names;
}

Actor Ledger::actor(const std::string& person) {
  if (!core_->db.find_integer("SELECT id FROM persons WHERE name = ?", person))
    throw unknown_thing(
        "person", person,
        "check the spelling, or let somebody of the register enter the person: sherdmark register NAME");
  return {person, station_here(person)};
}

void Ledger::revise_standard(const Actor& actor, const HouseStandard& standard) {
  if (standard.source == core_->standard.source) return;
  JsonWriter payload;
  payload.begin_object().key("standard");
  write_standard(payload, standard);
  payload.end_object();
  core_->write(actor, "standard", payload.take());
  load_standard(*core_);
}

void Ledger::record_export(const Actor& actor, const std::vector<std::string>& restricted_columns,
                           const std::string& file) {
  JsonWriter payload;
  payload.begin_object().key("columns").begin_array();
  for (const std::string& column : restricted_columns) payload.text(column);
  payload.end_array().key("file").text(file).end_object();
  core_->write(actor, "exported", payload.take());
}

std::vector<StationHead> Ledger::heads() const { return station_heads(core_->db); }

void Ledger::for_each_event(const std::function<void(const Event&)>& visit) const {
  Statement rows = core_->db.prepare(
      "SELECT station, sequence, time, person, kind, payload, previous, hash FROM events ORDER BY position");
  rows.with();
  while (rows.step())
    visit({rows.text(0), rows.integer(1), rows.text(2), rows.text(3), rows.text(4), rows.text(5), rows.text(6),
           rows.text(7)});
}

std::string Ledger::collection_key() const { return core_->db.find_text("SELECT key FROM collection").value_or(""); }

}  // namespace sherdmark
