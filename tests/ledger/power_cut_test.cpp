// The current goes, or the disk is full, at any moment: whatever of the unsynced writes reached the disk, in whatever
// order and however torn, the ledger opens, nothing is half-done, and what was confirmed is there.
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fstream>
#include <functional>
#include <stdexcept>

#include "ledger/failing_disk.h"
#include "ledger/killed_process.h"
#include "ledger/ledger_samples.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/unfinished.h"
#include "sherdmark/ledger/proof.h"

namespace sherdmark {
namespace {

namespace fs = std::filesystem;
using testing::FailingDisk;
using testing::FreshLedger;

std::vector<CatalogRow> rows_from(const HouseStandard& standard, int first, int rows) {
  std::vector<CatalogRow> made;
  for (int i = first; i < first + rows; ++i)
    made.push_back(testing::in_bags(testing::row(standard, "16ZQ5/7." + std::to_string(i), "stone", 2),
                                    {{"B" + std::to_string(i), {}}}));
  return made;
}

// A working morning in steps; each is confirmed when it returns.
struct Morning {
  explicit Morning(const fs::path& ledger_file) : file(ledger_file) {}

  void work() {
    Ledger ledger = Ledger::open(file, FreshLedger::access(), clock, random);
    const HouseStandard standard = ledger.standard();
    const Actor ana = ledger.actor("Ana Quill");
    const auto step = [this](const std::function<void()>& act) {
      act();
      ++confirmed;
    };
    step([&] { (void)testing::take_in(ledger, ana, rows_from(standard, 1, 60)); });
    const std::string bag = ledger.bags().at(0).id;
    step([&] { (void)ledger.store_plan(ana, testing::plan_of(ledger, bag, 2, "text")); });
    PrintRun run;
    step([&] { run = ledger.start_run(ana, LabelRole::bag); });
    step([&] { ledger.record_pages(ana, run.id, {1}, {"bag.pdf 00"}); });
    step([&] { (void)ledger.confirm_printed(ana, run.id, {}); });
    step([&] { (void)testing::take_in(ledger, ana, rows_from(standard, 100, 20)); });
    step([&] { ledger.recount(ana, bag, ledger.find_bag(bag)->contents.at(0).item, 3, "counted again"); });
  }

  fs::path file;
  FixedClock clock{parse_time("2031-05-04T10:00:00Z")};
  SeededRandom random{21};
  int confirmed = 0;
};

// Works on a copy until the disk fails; returns how many steps were confirmed.
int interrupted(FailingDisk& disk, const fs::path& file, std::string* said = nullptr) {
  Morning morning{file};
  try {
    morning.work();
  } catch (const Error& error) {
    EXPECT_EQ(error.family(), ErrorFamily::environment) << error.what();
    if (said != nullptr) *said = error.what();
  }
  EXPECT_TRUE(disk.failed() || morning.confirmed == 7);
  return morning.confirmed;
}

std::int64_t whole_and_counted(const fs::path& file) {
  FixedClock clock{parse_time("2031-05-05T10:00:00Z")};
  SeededRandom random{22};
  const Ledger ledger = Ledger::open(file, FreshLedger::access(), clock, random);
  const LedgerVerification found = ledger.verify();
  EXPECT_TRUE(found.good()) << found.problems.front();
  return found.events;
}

struct Start {
  Start() {
    fresh.close();
    before = whole_and_counted(fresh.file());
    const FailingDisk disk;
    Morning morning{copy("count.ledger")};
    morning.work();
    changes = disk.changes();
  }
  fs::path copy(const std::string& name) const {
    const fs::path file = fresh.folder / name;
    for (const char* beside : {"", "-journal", ".lock"}) fs::remove(file.string() + beside);
    fs::copy_file(fresh.file(), file);
    return file;
  }
  FreshLedger fresh;
  std::int64_t before = 0;
  std::uint64_t changes = 0;
};

TEST(PowerCut, at_any_write_of_a_morning_leaves_a_whole_ledger_and_every_confirmed_step) {
  const Start start;
  ASSERT_GE(start.changes, 60U);
  SeededRandom random{23};
  int with_journal = 0;
  const std::uint64_t stride = 1 + start.changes / 45;
  for (std::uint64_t at = 1; at <= start.changes; at += 1 + random.below(2 * stride - 1)) {
    const fs::path file = start.copy("cut.ledger");
    int confirmed = 0;
    {
      FailingDisk disk;
      disk.cut_power_at(at);
      confirmed = interrupted(disk, file);
      disk.leave_what_survives(random);
    }
    with_journal += testing::was_cut_off(file) ? 1 : 0;
    const std::int64_t events = whole_and_counted(file) - start.before;
    ASSERT_GE(events, confirmed) << "a confirmed step is lost at change " << at;
    ASSERT_LE(events, confirmed + 1) << "change " << at;
  }
  EXPECT_GE(with_journal, 5) << "the cuts came where nothing was under way";
}

// The disk must be able to show a loss: a file that is written and never synced does not survive whole.
TEST(PowerCut, the_test_disk_does_lose_what_was_not_synced) {
  const Start start;
  SeededRandom random{24};
  int lost = 0;
  for (int round = 0; round < 6; ++round) {
    const fs::path file = start.copy("lost.ledger");
    std::string on_real_disk;
    {
      FailingDisk disk;
      disk.ignore_syncs();
      Morning morning{file};
      morning.work();
      on_real_disk = read_text(real_file_system(), file);
      disk.leave_what_survives(random);
    }
    lost += !fs::exists(file) || read_text(real_file_system(), file) != on_real_disk ? 1 : 0;
  }
  EXPECT_GE(lost, 5);
}

TEST(FullDisk, at_any_write_changes_nothing_says_so_and_room_is_all_it_needs) {
  const Start start;
  for (std::uint64_t at = 1; at <= start.changes; at += 1 + start.changes / 20) {
    const fs::path file = start.copy("full.ledger");
    std::string said;
    int confirmed = 0;
    bool failed = false;
    {
      FailingDisk disk;
      disk.fill_at(at);
      confirmed = interrupted(disk, file, &said);
      failed = disk.failed();
    }
    if (failed && confirmed < 7) {
      EXPECT_NE(said.find("the disk is full; nothing was changed. Make room and do it again."), std::string::npos)
          << said;
    }
    // What stays is a journal that is needed: the disk had no room to undo.
    EXPECT_TRUE(!fs::exists(file.string() + "-journal") || testing::was_cut_off(file)) << "change " << at;
    const std::int64_t events = whole_and_counted(file) - start.before;
    ASSERT_EQ(events, confirmed) << "change " << at;
  }
}

TEST(FullDisk, a_backup_that_does_not_fit_leaves_nothing_behind) {
  const Start start;
  const fs::path target = start.fresh.folder / "backup.ledger";
  for (const std::uint64_t at : {1U, 3U, 5U, 9U}) {
    FailingDisk disk;
    const Ledger ledger = Ledger::open_read_only(start.fresh.file());
    disk.fill_at(at);
    try {
      (void)ledger.backup(target);
      EXPECT_FALSE(disk.failed());
      fs::remove(target);
    } catch (const Error& error) {
      EXPECT_EQ(error.family(), ErrorFamily::environment) << error.what();
      EXPECT_NE(std::string{error.what()}.find("the disk is full"), std::string::npos) << error.what();
      EXPECT_FALSE(fs::exists(target));
      EXPECT_FALSE(fs::exists(unfinished_name(target)));
    }
  }
}

// What somebody hears who may read the ledger and not write it; root, who may do everything, steps down first.
std::string heard_without_permission(const fs::path& file, const std::function<void(Ledger&)>& act) {
  int ends[2];
  if (::pipe(ends) != 0) throw std::runtime_error("no pipe");
  const pid_t child = ::fork();
  if (child == 0) {
    std::string said = "nothing went wrong";
    constexpr uid_t k_nobody = 65534;
    if (::geteuid() == 0 && ::setuid(k_nobody) != 0) said = "root could not step down";
    try {
      FixedClock clock{parse_time("2031-05-05T10:00:00Z")};
      SeededRandom random{31};
      Ledger ledger = Ledger::open(file, FreshLedger::access(), clock, random);
      act(ledger);
    } catch (const Error& error) {
      said = std::to_string(error.exit_code()) + ": " + error.what();
    }
    (void)!::write(ends[1], said.data(), said.size());
    ::_exit(0);
  }
  ::close(ends[1]);
  std::string said;
  char byte = 0;
  while (::read(ends[0], &byte, 1) == 1) said.push_back(byte);
  ::close(ends[0]);
  ::waitpid(child, nullptr, 0);
  return said;
}

TEST(LostPermission, to_the_folder_or_the_file_is_said_in_a_plain_sentence_and_nothing_changes) {
  const Start start;
  const fs::path file = start.copy("kept.ledger");
  const std::string before = read_text(real_file_system(), file);
  fs::permissions(start.fresh.folder.path(), fs::perms{0555});
  fs::permissions(file, fs::perms{0444});
  const std::string folder = heard_without_permission(file, [](Ledger&) {});
  EXPECT_TRUE(folder.starts_with("4: " + file.string())) << folder;
  EXPECT_NE(folder.find("cannot be"), std::string::npos) << folder;
  EXPECT_NE(folder.find("permission"), std::string::npos) << folder;
  fs::permissions(start.fresh.folder.path(), fs::perms{0777});
  const std::string only_file = heard_without_permission(file, [](Ledger&) {});
  EXPECT_TRUE(only_file.starts_with("4: ")) << only_file;
  EXPECT_NE(only_file.find("the ledger cannot be written"), std::string::npos) << only_file;
  fs::permissions(start.fresh.folder.path(), fs::perms{0755});
  EXPECT_EQ(read_text(real_file_system(), file), before);
}

}  // namespace
}  // namespace sherdmark
