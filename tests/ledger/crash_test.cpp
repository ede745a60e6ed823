// A process killed at any moment of its work: the ledger opens, nothing is half-done, nothing confirmed is lost.
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <functional>
#include <thread>

#include "ledger/killed_process.h"
#include "ledger/ledger_samples.h"
#include "ledger/schema.h"

namespace sherdmark {
namespace {

using testing::FreshLedger;
using testing::kill_during;
using testing::Killed;

constexpr int k_rounds = 20;
constexpr int k_rows_a_batch = 3000;

std::vector<CatalogRow> batch(const HouseStandard& standard, int number) {
  std::vector<CatalogRow> rows;
  for (int i = 1; i <= k_rows_a_batch; ++i) {
    const std::string lot = std::to_string(number * 5 + 1 + i / 700);
    rows.push_back(testing::in_bags(testing::row(standard, "16ZQ5/" + lot + "." + std::to_string(i), "stone", i),
                                    {{"M" + std::to_string(number) + "-" + std::to_string(i), {}}}));
  }
  return rows;
}

// Takes in one batch after another and says over the pipe which are confirmed, until it is killed.
[[noreturn]] void take_in_for_ever(const std::filesystem::path& file, FreshLedger& fresh, int first, int confirmed) {
  Ledger ledger = Ledger::open(file, FreshLedger::access(), fresh.clock, fresh.random);
  const Actor ana = ledger.actor("Ana Quill");
  (void)!::write(confirmed, "o", 1);
  for (int number = first;; ++number) {
    (void)testing::take_in(ledger, ana, batch(fresh.standard, number));
    (void)!::write(confirmed, "b", 1);
  }
}

TEST(Crash, a_process_killed_during_intake_leaves_a_whole_ledger_and_every_confirmed_batch) {
  FreshLedger fresh;
  fresh.close();
  SeededRandom moments{99};
  int batches = 0;
  int killed_in_the_middle = 0;
  // On a slow machine the moments may miss the middle of a transaction: then there are more of them, and later ones.
  for (int round = 0; round < k_rounds || (killed_in_the_middle < 3 && round < 10 * k_rounds); ++round) {
    int pipe_ends[2];
    ASSERT_EQ(::pipe(pipe_ends), 0);
    const pid_t child = ::fork();
    ASSERT_GE(child, 0);
    if (child == 0) take_in_for_ever(fresh.file(), fresh, batches, pipe_ends[1]);
    ::close(pipe_ends[1]);
    char said = 0;
    ASSERT_EQ(::read(pipe_ends[0], &said, 1), 1) << "the child could not open the ledger";
    std::this_thread::sleep_for(
        std::chrono::microseconds{moments.below(150000 * (1 + static_cast<std::uint64_t>(round / k_rounds)))});
    ::kill(child, SIGKILL);
    ::waitpid(child, nullptr, 0);
    int confirmed = batches;
    while (::read(pipe_ends[0], &said, 1) == 1) ++confirmed;
    ::close(pipe_ends[0]);
    killed_in_the_middle += testing::was_cut_off(fresh.file()) ? 1 : 0;

    const Ledger ledger = Ledger::open(fresh.file(), FreshLedger::access(), fresh.clock, fresh.random);
    ASSERT_EQ(ledger.notices().size(), 1U) << "it says that it took over";
    const std::int64_t intakes = testing::count_events(ledger) - 1;
    ASSERT_GE(intakes, confirmed) << "a confirmed batch is lost";
    ASSERT_LE(intakes, confirmed + 1);
    ASSERT_EQ(ledger.bags().size(), static_cast<std::size_t>(intakes) * k_rows_a_batch) << "half a batch";
    batches = static_cast<int>(intakes);
    if (round % 5 == 4) {
      const LedgerVerification found = ledger.verify();
      ASSERT_TRUE(found.good()) << found.problems.front();
    }
  }
  EXPECT_GE(killed_in_the_middle, 3) << "the kills came too early or too late to prove anything";
}

// --- hundreds of kills, at every kind of work ----------------------------------------------------------------------

constexpr int k_kills = 200;
constexpr int k_first_lot = 10;

// What stops work that would go on for ever, when nobody kills it.
struct EnoughDone {};

// Labels are made again and again (each run, its pages, their going to print) and catalogs taken in. Every second
// round begins with a catalog, so that kills meet both kinds of work on a slow disk too.
void work_through_the_day(const std::filesystem::path& file, FreshLedger& fresh, int round,
                          const std::function<void()>& confirm) {
  Ledger ledger = Ledger::open(file, FreshLedger::access(), fresh.clock, fresh.random);
  const Actor ana = ledger.actor("Ana Quill");
  const std::string bag = ledger.bags().at(0).id;
  const std::string lot = std::to_string(k_first_lot + round);
  for (int i = 1;; ++i) {
    if (i > 1 || round % 2 == 0) {
      const PrintRun run =
          ledger.start_run(ana, LabelRole::bag, {{LabelRole::bag, bag, ledger.find_bag(bag)->contents.at(0).item, 1}});
      confirm();
      ledger.record_pages(ana, run.id, {1}, {"bag.pdf 00"});
      confirm();
      (void)ledger.confirm_printed(ana, run.id, {});
      confirm();
    }
    const std::string item = lot + "." + std::to_string(i);
    (void)testing::take_in(
        ledger, ana, {testing::in_bags(testing::row(fresh.standard, "16ZQ5/" + item, "stone", i), {{"D" + item, {}}})});
    confirm();
  }
}

TEST(Crash, hundreds_of_kills_during_labels_and_intake_lose_nothing_that_was_confirmed) {
  FreshLedger fresh;
  (void)testing::take_in(fresh.ledger, fresh.ana,
                         {testing::in_bags(testing::row(fresh.standard, "16ZQ5/2.7", "pottery", 3), {{"B1", {}}})});
  const std::string bag = fresh.ledger.bags().at(0).id;
  (void)fresh.ledger.store_plan(fresh.ana, testing::plan_of(fresh.ledger, bag, 1, "text"));
  std::int64_t events = testing::count_events(fresh.ledger);
  fresh.close();
  int steps = 0;
  std::uint64_t longest_us = testing::undisturbed_us([&] {
    EXPECT_THROW(work_through_the_day(fresh.file(), fresh, 0,
                                      [&] {
                                        if (++steps == 6) throw EnoughDone{};
                                      }),
                 EnoughDone);
  });
  events += steps;
  SeededRandom moments{7};
  int in_the_middle = 0;
  int confirmed = 0;
  // Where others use the disk too, the kills follow its speed, and there are more of them until enough was done.
  const auto enough = [&] { return in_the_middle >= 20 && confirmed >= 100; };
  for (int round = 1; round <= k_kills || (round <= 3 * k_kills && !enough()); ++round) {
    const Killed killed = kill_during(
        [&](const auto& confirm) { work_through_the_day(fresh.file(), fresh, round, confirm); }, moments, longest_us);
    ASSERT_TRUE(killed.began);
    in_the_middle += testing::was_cut_off(fresh.file()) ? 1 : 0;
    confirmed += killed.confirmed;
    if (killed.confirmed == 0) longest_us = std::min<std::uint64_t>(longest_us * 5 / 4, 500000);
    if (killed.confirmed > 8) longest_us = longest_us * 4 / 5;
    const Ledger ledger = Ledger::open(fresh.file(), FreshLedger::access(), fresh.clock, fresh.random);
    const std::int64_t now = testing::count_events(ledger);
    ASSERT_GE(now, events + killed.confirmed) << "a confirmed step is lost in round " << round;
    ASSERT_LE(now, events + killed.confirmed + 1);
    events = now;
    if (round % 20 == 19) {
      const LedgerVerification found = ledger.verify();
      ASSERT_TRUE(found.good()) << found.problems.front();
    }
  }
  const Ledger ledger = Ledger::open_read_only(fresh.file());
  EXPECT_GE(ledger.bags().size(), 5U) << "too few catalogs were taken in to prove anything";
  EXPECT_GE(ledger.runs().size(), 5U) << "too few labels were made to prove anything";
  EXPECT_GE(in_the_middle, 20) << "the kills came too early or too late to prove anything";
}

TEST(Crash, a_backup_that_was_killed_is_whole_or_not_there_and_can_be_made_again) {
  FreshLedger fresh;
  (void)testing::take_in(fresh.ledger, fresh.ana, batch(fresh.standard, 1));
  fresh.close();
  const std::filesystem::path target = fresh.folder / "backup.ledger";
  std::uint64_t longest_us = testing::undisturbed_us(
      [&] { (void)Ledger::open_read_only(fresh.file()).backup(fresh.folder / "timed.ledger"); });
  SeededRandom moments{8};
  int unfinished = 0;
  for (int round = 0; round < 24; ++round) {
    (void)kill_during(
        [&](const auto& confirm) {
          (void)Ledger::open_read_only(fresh.file()).backup(target);
          confirm();
        },
        moments, 3 * longest_us / 2);
    const bool too_late = std::filesystem::exists(target);
    longest_us = longest_us * (too_late ? 9 : 11) / 10 + 1;  // follows the machine
    if (too_late) {
      EXPECT_TRUE(Ledger::open_read_only(target).verify().good());
      std::filesystem::remove(target);
    } else {
      ++unfinished;
    }
  }
  EXPECT_GE(unfinished, 3);
  EXPECT_TRUE(Ledger::open_read_only(fresh.file()).backup(target).good());
  for (const auto& entry : std::filesystem::directory_iterator{fresh.folder.path()})
    EXPECT_EQ(entry.path().string().find("unfinished"), std::string::npos) << entry.path();
}

TEST(Crash, a_migration_that_was_killed_leaves_the_old_ledger_or_the_new_one) {
  FreshLedger fresh;
  fresh.close();
  const std::filesystem::path old = fresh.folder / "old.ledger";
  testing::unpack_ledger_of_version_1(old);
  std::filesystem::copy_file(old, fresh.folder / "timed.ledger");
  std::uint64_t longest_us = testing::undisturbed_us(
      [&] { (void)Ledger::open(fresh.folder / "timed.ledger", FreshLedger::access(), fresh.clock, fresh.random); });
  SeededRandom moments{9};
  int old_ones = 0;
  for (int round = 0; round < 30; ++round) {
    const std::filesystem::path file = fresh.folder / ("migrating-" + std::to_string(round) + ".ledger");
    std::filesystem::copy_file(old, file);
    (void)kill_during(
        [&](const auto& confirm) {
          (void)Ledger::open(file, FreshLedger::access(), fresh.clock, fresh.random);
          confirm();
        },
        moments, 3 * longest_us / 2);
    const auto version = testing::run({"sqlite3", file.string(), "PRAGMA user_version"}).out;
    old_ones += version == "1\n" ? 1 : 0;
    longest_us = longest_us * (version == "1\n" ? 11 : 9) / 10 + 1;  // follows the machine
    const Ledger ledger = Ledger::open(file, FreshLedger::access(), fresh.clock, fresh.random);
    const LedgerVerification found = ledger.verify();
    ASSERT_TRUE(found.good()) << found.problems.front();
    const std::filesystem::path kept = file.string() + ".before-v" + std::to_string(k_schema_version);
    ASSERT_TRUE(std::filesystem::exists(kept));
    ASSERT_EQ(testing::run({"sqlite3", kept.string(), "PRAGMA user_version; PRAGMA integrity_check"}).out, "1\nok\n")
        << "half a copy kept as if it were whole";
  }
  EXPECT_GE(old_ones, 3) << "the kills came too late";
}

}  // namespace
}  // namespace sherdmark
