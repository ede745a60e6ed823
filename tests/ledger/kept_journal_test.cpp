// The journal that stays beside a ledger while somebody writes: how often an act waits for the disk, and what a reader,
// a kill and the closing make of it.
#include <gtest/gtest.h>

#include <filesystem>
#include <stdexcept>

#include "ledger/failing_disk.h"
#include "ledger/killed_process.h"
#include "ledger/ledger_samples.h"
#include "ledger/sqlite.h"
#include "sherdmark/base/error.h"
#include "sherdmark/ledger/proof.h"
#include "sherdmark/ledger/restore.h"
#include "sherdmark/ledger/scan_log.h"

namespace sherdmark {
namespace {

namespace fs = std::filesystem;
using testing::FailingDisk;
using testing::FreshLedger;

fs::path journal_of(const fs::path& file) { return file.string() + "-journal"; }

std::string scan_once(FreshLedger& fresh) {
  const std::string session = open_scan_session(fresh.ledger, fresh.ana);
  record_scan(fresh.ledger, fresh.ana, session, "16ZQ5/7.1", "");
  return session;
}

TEST(KeptJournal, undoes_nothing_between_acts_and_is_gone_when_the_ledger_is_closed) {
  FreshLedger fresh;
  (void)scan_once(fresh);
  EXPECT_TRUE(fs::exists(journal_of(fresh.file())));
  EXPECT_FALSE(testing::was_cut_off(fresh.file()));
  const std::int64_t events = testing::count_events(fresh.ledger);
  EXPECT_EQ(testing::count_events(Ledger::open_read_only(fresh.file())), events) << "readers are welcome";
  scan_once(fresh);
  EXPECT_EQ(testing::count_events(Ledger::open_read_only(fresh.file())), events + 2);
  fresh.close();
  EXPECT_FALSE(fs::exists(journal_of(fresh.file())));
}

// What a process leaves that is killed between two acts.
TEST(KeptJournal, of_a_writer_that_died_between_acts_is_read_and_taken_over) {
  FreshLedger fresh;
  (void)scan_once(fresh);
  const std::int64_t events = testing::count_events(fresh.ledger);
  const fs::path file = fresh.folder / "left.ledger";
  fs::copy_file(fresh.file(), file);
  fs::copy_file(journal_of(fresh.file()), journal_of(file));
  fresh.close();
  EXPECT_EQ(testing::count_events(Ledger::open_read_only(file)), events);
  {
    const Ledger ledger = Ledger::open(file, FreshLedger::access(), fresh.clock, fresh.random);
    EXPECT_EQ(ledger.notices().size(), 1U) << "it says that it took over";
    EXPECT_EQ(testing::count_events(ledger), events);
    EXPECT_TRUE(ledger.verify().good());
  }
  EXPECT_FALSE(fs::exists(journal_of(file)));
}

// A ledger and its journal as a process leaves them that is killed when half of an act is in the file.
class CutInTheMiddle {
 public:
  CutInTheMiddle() {
    std::vector<CatalogRow> rows;
    for (int i = 1; i <= 300; ++i) rows.push_back(testing::row(fresh.standard, "16ZQ5/7." + std::to_string(i)));
    (void)testing::take_in(fresh.ledger, fresh.ana, rows);
    events = testing::count_events(fresh.ledger);
    fresh.close();
    Database half{fresh.file(), Database::Mode::write};
    half.execute("PRAGMA cache_size = 1; BEGIN IMMEDIATE; UPDATE items SET object = 'half-done'");
    fs::copy_file(fresh.file(), file());
    fs::copy_file(journal_of(fresh.file()), journal_of(file()));
  }
  [[nodiscard]] fs::path file() const { return fresh.folder / "cut.ledger"; }

  FreshLedger fresh;
  std::int64_t events = 0;
};

TEST(KeptJournal, of_a_writer_that_died_in_an_act_is_undone_before_the_ledger_is_proven) {
  const CutInTheMiddle cut;
  ASSERT_TRUE(testing::was_cut_off(cut.file()));
  const LedgerVerification proof = prove_ledger(cut.file(), {});
  EXPECT_TRUE(proof.good()) << proof.problems.front();
  EXPECT_EQ(proof.events, cut.events);
}

TEST(KeptJournal, of_a_writer_that_died_in_an_act_is_undone_before_a_head_is_compared) {
  const CutInTheMiddle cut;
  const std::string head = write_head(Ledger::open_read_only(cut.fresh.file()).heads().at(0));
  ASSERT_TRUE(testing::was_cut_off(cut.file()));
  EXPECT_TRUE(compare_head(cut.file(), parse_written_head(head)).found);
}

TEST(KeptJournal, of_a_writer_that_died_in_an_act_is_undone_before_the_copy_is_restored) {
  CutInTheMiddle cut;
  ASSERT_TRUE(testing::was_cut_off(cut.file()));
  const RestoredLedger restored = restore_ledger(cut.file(), cut.fresh.folder / "again.ledger", FreshLedger::access(),
                                                 cut.fresh.clock, cut.fresh.random);
  EXPECT_TRUE(restored.proof.good());
}

TEST(KeptJournal, lets_a_scan_wait_for_the_disk_four_times_whatever_it_brings) {
  FreshLedger fresh;
  fresh.close();
  const FailingDisk disk;
  Ledger ledger = Ledger::open(fresh.file(), FreshLedger::access(), fresh.clock, fresh.random);
  const std::string session = open_scan_session(ledger, fresh.ana);
  for (int scan = 0; scan < 3; ++scan) {
    const std::uint64_t before = disk.syncs();
    record_scan(ledger, fresh.ana, session, "16ZQ5/7.1", "");
    EXPECT_EQ(disk.syncs() - before, 4U) << "the journal twice, the ledger, the journal's end";
  }
  const std::uint64_t before = disk.syncs();
  write_as_one(ledger, [&] {
    record_scan(ledger, fresh.ana, session, "16ZQ5/7.1", "");
    record_scan(ledger, fresh.ana, session, "16ZQ5/7.2", "");
  });
  EXPECT_EQ(disk.syncs() - before, 4U);
}

TEST(KeptJournal, that_somebody_took_away_is_made_anew_and_its_name_kept) {
  FreshLedger fresh;
  fresh.close();
  const FailingDisk disk;
  Ledger ledger = Ledger::open(fresh.file(), FreshLedger::access(), fresh.clock, fresh.random);
  const std::string session = open_scan_session(ledger, fresh.ana);
  fs::remove(journal_of(fresh.file()));
  const std::uint64_t before = disk.syncs();
  record_scan(ledger, fresh.ana, session, "16ZQ5/7.1", "");
  EXPECT_EQ(disk.syncs() - before, 5U) << "and the folder";
}

TEST(WriteAsOne, keeps_all_acts_or_none_and_the_ledger_works_on) {
  FreshLedger fresh;
  const std::string session = scan_once(fresh);
  const std::int64_t events = testing::count_events(fresh.ledger);
  const auto broken_off = [&] {
    write_as_one(fresh.ledger, [&] {
      record_scan(fresh.ledger, fresh.ana, session, "16ZQ5/7.1", "");
      throw std::runtime_error("the second act fails");
    });
  };
  EXPECT_THROW(broken_off(), std::runtime_error);
  EXPECT_EQ(testing::count_events(fresh.ledger), events);
  // Even where the error of a part is swallowed, half of it is never kept.
  const auto swallowed = [&] {
    write_as_one(fresh.ledger, [&] {
      record_scan(fresh.ledger, fresh.ana, session, "16ZQ5/7.1", "");
      EXPECT_THROW(record_scan(fresh.ledger, fresh.ana, "S0000000A", "16ZQ5/7.2", ""), Error);
    });
  };
  EXPECT_THROW(swallowed(), Error);
  EXPECT_EQ(testing::count_events(fresh.ledger), events);
  write_as_one(fresh.ledger, [&] {
    record_scan(fresh.ledger, fresh.ana, session, "16ZQ5/7.1", "");
    close_scan_session(fresh.ledger, fresh.ana, session);
  });
  EXPECT_EQ(testing::count_events(fresh.ledger), events + 2);
  EXPECT_TRUE(fresh.ledger.verify().good());
}

}  // namespace
}  // namespace sherdmark
