// The current goes while a ledger is migrated or backed up: the ledger itself is whole, the copy is whole or is not
// taken for one, and doing it again is all that is needed.
#include <gtest/gtest.h>

#include <filesystem>

#include "ledger/failing_disk.h"
#include "ledger/ledger_samples.h"
#include "ledger/schema.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

namespace fs = std::filesystem;
using testing::FailingDisk;
using testing::FreshLedger;

void remove_all_of(const fs::path& folder) {
  for (const auto& entry : fs::directory_iterator{folder}) fs::remove(entry.path());
}

std::string user_version(const fs::path& file) {
  return testing::run({"sqlite3", file.string(), "PRAGMA user_version"}).out;
}

TEST(PowerCut, at_any_write_of_a_migration_leaves_the_old_ledger_or_the_new_one) {
  FreshLedger fresh;
  fresh.close();
  const fs::path old = fresh.folder / "old.ledger";
  testing::unpack_ledger_of_version_1(old);
  const fs::path folder = fresh.folder / "migrating";
  fs::create_directory(folder);
  const fs::path file = folder / "old.ledger";
  const auto migrate = [&] { (void)Ledger::open(file, FreshLedger::access(), fresh.clock, fresh.random); };
  std::uint64_t changes = 0;
  {
    fs::copy_file(old, file);
    const FailingDisk disk;
    migrate();
    changes = disk.changes();
  }
  ASSERT_GE(changes, 20U);
  SeededRandom random{51};
  int old_ones = 0;
  for (std::uint64_t at = 1; at <= changes; at += 1 + random.below(1 + changes / 12)) {
    remove_all_of(folder);
    fs::copy_file(old, file);
    {
      FailingDisk disk;
      disk.cut_power_at(at);
      try {
        migrate();
      } catch (const Error& error) {
        EXPECT_EQ(error.family(), ErrorFamily::environment) << error.what();
      }
      EXPECT_TRUE(disk.failed());
      disk.leave_what_survives(random);
    }
    old_ones += user_version(file) == "1\n" ? 1 : 0;
    const Ledger ledger = Ledger::open(file, FreshLedger::access(), fresh.clock, fresh.random);
    const LedgerVerification found = ledger.verify();
    ASSERT_TRUE(found.good()) << found.problems.front() << " (change " << at << ")";
    ASSERT_EQ(user_version(file), std::to_string(k_schema_version) + "\n");
  }
  EXPECT_GE(old_ones, 3) << "the cuts came too late";
}

TEST(PowerCut, at_any_write_of_a_backup_leaves_no_copy_that_is_not_whole_and_the_next_one_works) {
  FreshLedger fresh;
  std::vector<CatalogRow> rows;
  for (int i = 1; i <= 200; ++i)
    rows.push_back(testing::in_bags(testing::row(fresh.standard, "16ZQ5/7." + std::to_string(i), "stone", 2),
                                    {{"B" + std::to_string(i), {}}}));
  (void)testing::take_in(fresh.ledger, fresh.ana, rows);
  fresh.close();
  const fs::path folder = fresh.folder / "copies";
  fs::create_directory(folder);
  const fs::path target = folder / "backup.ledger";
  const std::string before = read_text(real_file_system(), fresh.file());
  std::uint64_t changes = 0;
  {
    const FailingDisk disk;
    ASSERT_TRUE(Ledger::open_read_only(fresh.file()).backup(target).good());
    changes = disk.changes();
  }
  ASSERT_GE(changes, 5U);
  SeededRandom random{52};
  for (std::uint64_t at = 1; at <= changes; at += 1 + random.below(1 + changes / 12)) {
    remove_all_of(folder);
    {
      FailingDisk disk;
      disk.cut_power_at(at);
      EXPECT_THROW((void)Ledger::open_read_only(fresh.file()).backup(target), Error) << "change " << at;
      disk.leave_what_survives(random);
    }
    EXPECT_FALSE(fs::exists(target)) << "half a copy is taken for a backup (change " << at << ")";
    EXPECT_TRUE(Ledger::open_read_only(fresh.file()).backup(target).good()) << "change " << at;
    EXPECT_EQ(read_text(real_file_system(), fresh.file()), before);
  }
}

}  // namespace
}  // namespace sherdmark
