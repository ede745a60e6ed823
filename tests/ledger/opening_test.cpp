// Making, opening, locking and migrating ledgers; judged from outside by the sqlite3 command.
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <sys/file.h>
#include <sys/syscall.h>

#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>
#include <cerrno>

#include <fstream>

#include "ledger/ledger_samples.h"
#include "ledger/migrate.h"
#include "ledger/schema.h"
#include "sherdmark/base/error.h"

namespace {
int flock_fails_with = 0;
}  // namespace

// Stands before the C library's own.
extern "C" int flock(int descriptor, int operation) noexcept {
  if (flock_fails_with == 0) return static_cast<int>(::syscall(SYS_flock, descriptor, operation));
  errno = flock_fails_with;
  return -1;
}

namespace sherdmark {
namespace {

using testing::FreshLedger;
using testing::run;

std::string error_of(const std::function<void()>& act, ErrorFamily family) {
  try {
    act();
  } catch (const Error& error) {
    EXPECT_EQ(error.family(), family) << error.what();
    return error.what();
  }
  ADD_FAILURE() << "no error";
  return {};
}

std::string sqlite(const std::filesystem::path& file, const std::string& sql) {
  const auto result = run({"sqlite3", file.string(), sql});
  EXPECT_EQ(result.exit_code, 0) << result.err;
  return result.out;
}

TEST(Opening, a_new_ledger_is_one_plain_sqlite_file_with_both_ids) {
  FreshLedger fresh;
  const std::string key = fresh.ledger.collection_key();
  EXPECT_EQ(key.size(), 4U);
  fresh.close();
  EXPECT_EQ(sqlite(fresh.file(), "PRAGMA application_id"), "1397248580\n");  // "SHRD"
  EXPECT_EQ(sqlite(fresh.file(), "PRAGMA user_version"), std::to_string(k_schema_version) + "\n");
  EXPECT_EQ(sqlite(fresh.file(), "PRAGMA journal_mode"), "delete\n");
  EXPECT_EQ(sqlite(fresh.file(), "PRAGMA integrity_check"), "ok\n");
  EXPECT_EQ(sqlite(fresh.file(), "SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND sql NOT LIKE '%STRICT%'"),
            "0\n");
  EXPECT_EQ(sqlite(fresh.file(), "SELECT key FROM collection"), key + "\n");
  int files = 0;
  for ([[maybe_unused]] const auto& entry : std::filesystem::directory_iterator{fresh.folder.path()}) ++files;
  EXPECT_EQ(files, 1) << "nothing may be left beside a closed ledger";
}

TEST(Opening, a_ledger_carries_its_house_standard_and_its_first_person) {
  FreshLedger fresh;
  EXPECT_EQ(fresh.ledger.standard().source, fresh.standard.source);
  EXPECT_EQ(fresh.ledger.persons(), std::vector<std::string>{"Ana Quill"});
  EXPECT_EQ(fresh.ana.station.size(), 3U);
  EXPECT_EQ(fresh.ledger.actor("Ana Quill").station, fresh.ana.station) << "this computer is registered once";
}

TEST(Opening, an_existing_file_is_never_overwritten) {
  const testing::ScratchFolder folder;
  std::ofstream{folder / "notes.ledger"} << "precious";
  FixedClock clock{parse_time("2031-05-04T09:00:00Z")};
  SeededRandom random{1};
  const std::string text = error_of(
      [&] {
        (void)Ledger::create(folder / "notes.ledger", testing::ferry_standard(), FreshLedger::access(), clock, random);
      },
      ErrorFamily::environment);
  EXPECT_NE(text.find("never overwritten"), std::string::npos) << text;
  EXPECT_EQ(read_text(real_file_system(), folder / "notes.ledger"), "precious");
}

TEST(Opening, other_files_are_named_as_not_a_ledger) {
  const testing::ScratchFolder folder;
  std::ofstream{folder / "text"} << "Cat. No.,Material\n";
  std::ofstream{folder / "empty"} << "";
  (void)sqlite(folder / "other.db", "CREATE TABLE t(a)");
  for (const char* name : {"text", "empty", "other.db"}) {
    const std::string text = error_of([&] { (void)Ledger::open_read_only(folder / name); }, ErrorFamily::data);
    EXPECT_NE(text.find("not a ledger"), std::string::npos) << text;
  }
  (void)error_of([&] { (void)Ledger::open_read_only(folder / "absent"); }, ErrorFamily::environment);
  (void)error_of([&] { (void)Ledger::open_read_only(folder.path()); }, ErrorFamily::environment);
}

TEST(Opening, a_second_writer_hears_who_writes_since_when_and_readers_are_welcome) {
  FreshLedger fresh;
  const std::string text = error_of(
      [&] {
        (void)Ledger::open(fresh.file(), {"Bo Reed", "bench computer", false}, fresh.clock, fresh.random);
      },
      ErrorFamily::environment);
  EXPECT_NE(text.find("in use by Ana Quill since 2031-05-04 09:00 UTC"), std::string::npos) << text;
  EXPECT_TRUE(Ledger::open_read_only(fresh.file()).read_only());
  fresh.close();
  const Ledger again = Ledger::open(fresh.file(), FreshLedger::access(), fresh.clock, fresh.random);
  EXPECT_TRUE(again.notices().empty());
}

// Some network folders and old sticks know no locks: that is not another program.
TEST(Opening, a_disk_without_locks_is_told_as_such) {
  FreshLedger fresh;
  fresh.close();
  flock_fails_with = ENOLCK;
  const std::string text =
      error_of([&] { (void)Ledger::open(fresh.file(), FreshLedger::access(), fresh.clock, fresh.random); },
               ErrorFamily::environment);
  flock_fails_with = 0;
  EXPECT_NE(text.find("cannot be locked for writing (No locks available)"), std::string::npos) << text;
  EXPECT_NE(text.find("may know no locks"), std::string::npos) << text;
  EXPECT_EQ(text.find("in use by"), std::string::npos) << text;
  EXPECT_TRUE(Ledger::open(fresh.file(), FreshLedger::access(), fresh.clock, fresh.random).notices().empty());
}

TEST(Opening, a_second_process_is_refused_and_a_dead_one_is_taken_over_with_a_sentence) {
  FreshLedger fresh;
  fresh.close();
  int ready[2];
  ASSERT_EQ(::pipe(ready), 0);
  const pid_t child = ::fork();
  ASSERT_GE(child, 0);
  if (child == 0) {
    const Ledger held = Ledger::open(fresh.file(), {"Bo Reed", "bench computer", false}, fresh.clock, fresh.random);
    (void)!::write(ready[1], "x", 1);
    for (;;) ::pause();
  }
  char byte = 0;
  ASSERT_EQ(::read(ready[0], &byte, 1), 1);
  const std::string text =
      error_of([&] { (void)Ledger::open(fresh.file(), FreshLedger::access(), fresh.clock, fresh.random); },
               ErrorFamily::environment);
  EXPECT_NE(text.find("in use by Bo Reed since"), std::string::npos) << text;
  ::kill(child, SIGKILL);
  ::waitpid(child, nullptr, 0);
  const Ledger taken = Ledger::open(fresh.file(), FreshLedger::access(), fresh.clock, fresh.random);
  ASSERT_EQ(taken.notices().size(), 1U);
  EXPECT_NE(taken.notices()[0].find("in use by Bo Reed"), std::string::npos) << taken.notices()[0];
  ::close(ready[0]);
  ::close(ready[1]);
}

TEST(Opening, the_mark_of_another_computer_is_only_taken_over_when_a_person_says_so) {
  FreshLedger fresh;
  fresh.close();
  (void)sqlite(fresh.file(), "INSERT INTO writer VALUES(1, 'Cy Marsh', 'another', 1, '2031-05-03T16:00:00Z')");
  const std::string text =
      error_of([&] { (void)Ledger::open(fresh.file(), FreshLedger::access(), fresh.clock, fresh.random); },
               ErrorFamily::environment);
  EXPECT_NE(text.find("in use by Cy Marsh since 2031-05-03 16:00 UTC"), std::string::npos) << text;
  LedgerAccess insisting = FreshLedger::access();
  insisting.take_over = true;
  const Ledger taken = Ledger::open(fresh.file(), insisting, fresh.clock, fresh.random);
  EXPECT_EQ(taken.notices().size(), 1U);
}

TEST(Opening, another_computer_becomes_another_station) {
  FreshLedger fresh;
  const std::string first = fresh.ana.station;
  fresh.close();
  Ledger elsewhere = Ledger::open(fresh.file(), {"Ana Quill", "field laptop", false}, fresh.clock, fresh.random);
  const Actor ana = elsewhere.actor("Ana Quill");
  EXPECT_NE(ana.station, first);
  EXPECT_EQ(elsewhere.heads().size(), 2U);
  EXPECT_TRUE(elsewhere.verify().good());
}

TEST(Opening, a_newer_schema_is_read_only_with_a_plain_sentence) {
  FreshLedger fresh;
  fresh.close();
  (void)sqlite(fresh.file(), fmt::format("PRAGMA user_version = {}", k_schema_version + 1));
  const std::string text =
      error_of([&] { (void)Ledger::open(fresh.file(), FreshLedger::access(), fresh.clock, fresh.random); },
               ErrorFamily::environment);
  EXPECT_NE(text.find("newer program"), std::string::npos) << text;
  const Ledger reading = Ledger::open_read_only(fresh.file());
  ASSERT_EQ(reading.notices().size(), 1U);
  EXPECT_NE(reading.notices()[0].find("reading only"), std::string::npos);
  EXPECT_EQ(reading.persons().size(), 1U);
  const std::filesystem::path copy = fresh.folder / "copy.ledger";
  EXPECT_EQ(error_of([&] { (void)reading.backup(copy); }, ErrorFamily::environment), text)
      << "a backup is proven, and this program cannot prove what it does not know";
  EXPECT_FALSE(std::filesystem::exists(copy));
}

// The mechanism, on an invented version 0 that lacks a table.
TEST(Opening, a_migration_copies_the_file_first_and_then_changes_it_whole_or_not_at_all) {
  FreshLedger fresh;
  fresh.close();
  (void)sqlite(fresh.file(), "DROP TABLE audit_draws; PRAGMA user_version = 0");
  Database database{fresh.file(), Database::Mode::write};
  const std::vector<Migration> failing = {
      {0, [](Database& db) { db.execute("CREATE TABLE half_done(a); CREATE TABLE nonsense("); }}};
  EXPECT_THROW((void)migrate(database, 0, 1, failing), Error);
  EXPECT_EQ(database.find_integer("SELECT count(*) FROM sqlite_schema WHERE name = 'half_done'"), 0);
  EXPECT_EQ(database.find_integer("PRAGMA user_version"), 0);

  const std::vector<Migration> good = {{0, [](Database& db) { db.execute("CREATE TABLE audit_draws(a)"); }}};
  const auto copy = migrate(database, 0, 1, good);
  EXPECT_EQ(database.find_integer("PRAGMA user_version"), 1);
  EXPECT_EQ(copy.filename(), "collection.ledger.before-v1-2") << "the first copy is never overwritten";
  EXPECT_EQ(sqlite(copy, "PRAGMA user_version; SELECT count(*) FROM sqlite_schema WHERE name = 'audit_draws'"),
            "0\n0\n");
  EXPECT_THROW((void)migrate(database, 1, 3, good), Error) << "a step is missing";
}

// Every schema that was ever written stands in old/, made by the program of its day, and opens in this one.
TEST(Opening, a_ledger_of_every_earlier_version_migrates_and_still_adds_up) {
  for (std::int64_t version = 1; version < k_schema_version; ++version) {
    const testing::ScratchFolder folder;
    const auto file = folder / "collection.ledger";
    const auto packed = testing::test_data(fmt::format("ledger/old/version-{}.ledger.gz", version));
    std::ofstream{file, std::ios::binary} << run({"gzip", "-dc", packed.string()}).out;
    ASSERT_EQ(sqlite(file, "PRAGMA user_version"), fmt::format("{}\n", version));
    const std::string history = "SELECT station, sequence, hash FROM events ORDER BY position";
    const std::string before = sqlite(file, history);
    {
      FixedClock clock{parse_time("2031-09-01T08:00:00Z")};
      SeededRandom random{1};
      Ledger ledger = Ledger::open(file, FreshLedger::access(), clock, random);
      EXPECT_TRUE(ledger.verify().good()) << version;
      EXPECT_EQ(ledger.items().size(), 25U);
      ledger.rebuild();
      EXPECT_TRUE(ledger.verify().good()) << version;
    }
    EXPECT_EQ(sqlite(file, "PRAGMA user_version"), fmt::format("{}\n", k_schema_version));
    EXPECT_EQ(sqlite(file, history), before);
    EXPECT_TRUE(std::filesystem::exists(file.string() + fmt::format(".before-v{}", k_schema_version)));
  }
}

// Another program comes between the look at the version and the lock, migrates the ledger and is gone.
class ClockWhileAnotherOpens final : public Clock {
 public:
  explicit ClockWhileAnotherOpens(std::filesystem::path file) : file_(std::move(file)) {}
  TimePoint now() override {
    if (!done_) {
      done_ = true;
      FixedClock clock{parse_time("2031-09-01T08:00:00Z")};
      SeededRandom random{1};
      (void)Ledger::open(file_, FreshLedger::access(), clock, random);
    }
    return parse_time("2031-09-01T08:00:01Z");
  }

 private:
  std::filesystem::path file_;
  bool done_ = false;
};

TEST(Opening, a_ledger_that_another_program_migrated_meanwhile_is_not_migrated_again) {
  const testing::ScratchFolder folder;
  const auto file = folder / "collection.ledger";
  testing::unpack_ledger_of_version_1(file);
  ClockWhileAnotherOpens clock{file};
  SeededRandom random{2};
  const Ledger ledger = Ledger::open(file, FreshLedger::access(), clock, random);
  EXPECT_EQ(ledger.notices().size(), 0U);
  EXPECT_TRUE(ledger.verify().good());
}

TEST(Opening, a_read_only_medium_can_be_read_and_says_so_when_written) {
  FreshLedger fresh;
  (void)testing::take_in(fresh.ledger, fresh.ana, {testing::row(fresh.standard, "16ZQ5/1.1")});
  fresh.close();
  ASSERT_EQ(::chmod(fresh.file().c_str(), 0444), 0);
  ASSERT_EQ(::chmod(fresh.folder.path().c_str(), 0555), 0);
  Ledger reading = Ledger::open_read_only(fresh.file());
  EXPECT_EQ(reading.catalog_rows().size(), 1U);
  EXPECT_TRUE(reading.verify().good());
  const std::string text = error_of([&] { reading.register_person(fresh.ana, "Bo Reed"); }, ErrorFamily::environment);
  EXPECT_NE(text.find("reading only"), std::string::npos) << text;
  ASSERT_EQ(::chmod(fresh.folder.path().c_str(), 0755), 0);
}

TEST(Opening, an_unknown_person_is_an_error_with_a_remedy) {
  FreshLedger fresh;
  const std::string text = error_of([&] { (void)fresh.ledger.actor("Nobody"); }, ErrorFamily::usage);
  EXPECT_NE(text.find("let somebody of the register enter the person"), std::string::npos) << text;
  const std::int64_t before = testing::count_events(fresh.ledger);
  (void)error_of([&] { fresh.ledger.register_person({"Nobody", fresh.ana.station}, "Bo Reed"); }, ErrorFamily::usage);
  EXPECT_EQ(testing::count_events(fresh.ledger), before);
  fresh.ledger.register_person(fresh.ana, "Bo Reed");
  (void)error_of([&] { fresh.ledger.register_person(fresh.ana, "Bo Reed"); }, ErrorFamily::usage);
  for (const char* name : {"", " Bo", "a\nb"})
    (void)error_of([&] { fresh.ledger.register_person(fresh.ana, name); }, ErrorFamily::usage);
  EXPECT_EQ(fresh.ledger.actor("Bo Reed").person, "Bo Reed");
}

TEST(Opening, a_new_edition_of_the_house_standard_is_kept_beside_the_old_one) {
  FreshLedger fresh;
  fresh.ledger.revise_standard(fresh.ana, fresh.standard);
  EXPECT_EQ(testing::count_events(fresh.ledger), 1) << "the same standard is no event";
  HouseStandard next = fresh.standard;
  next.source += "\n# reviewed in June\n";
  fresh.ledger.revise_standard(fresh.ana, parse_house_standard(next.source, "next"));
  EXPECT_EQ(fresh.ledger.standard().source, next.source);
  EXPECT_TRUE(fresh.ledger.verify().good());
}

TEST(Opening, a_clock_that_runs_backwards_is_recorded_as_it_was_and_the_sequence_rules) {
  FreshLedger fresh;
  fresh.clock.set(parse_time("2030-01-01T00:00:00Z"));
  fresh.ledger.register_person(fresh.ana, "Bo Reed");
  std::vector<std::string> times;
  std::vector<std::int64_t> sequence;
  fresh.ledger.for_each_event([&](const Event& event) {
    times.push_back(event.time);
    sequence.push_back(event.sequence);
  });
  EXPECT_EQ(times, (std::vector<std::string>{"2031-05-04T09:00:00Z", "2030-01-01T00:00:00Z"}));
  EXPECT_EQ(sequence, (std::vector<std::int64_t>{1, 2}));
  EXPECT_TRUE(fresh.ledger.verify().good());
}

}  // namespace
}  // namespace sherdmark
