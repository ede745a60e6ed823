// Before a file gets its name it is on the disk, whole; before a command says so, its folder is, too. The power-cut
// tests cut the current under SQLite; here is what comes after it: putting copies into place, and files written whole.
#include <gtest/gtest.h>

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

#include "ledger/ledger_samples.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/files.h"
#include "sherdmark/base/folders.h"
#include "sherdmark/catalog/zip_files.h"
#include "sherdmark/ledger/restore.h"
#include "synced/sync_order.h"

namespace sherdmark {
namespace {

namespace fs = std::filesystem;
using testing::FreshLedger;
using testing::SyncOrder;

void expect_in_order(const SyncOrder& order, const fs::path& file) {
  const std::vector<std::string> named = order.named();
  EXPECT_NE(std::ranges::find(named, file.string()), named.end()) << "it was not seen getting its name";
  EXPECT_EQ(order.named_before_synced(), std::vector<std::string>{});
  EXPECT_EQ(order.folders_not_synced(), std::vector<std::string>{});
}

TEST(SyncOrder, is_seen_and_a_careless_writer_is_found_out) {
  testing::ScratchFolder folder;
  const SyncOrder order;
  const int file = ::open((folder / "made").c_str(), O_CREAT | O_WRONLY, 0600);
  ASSERT_EQ(::write(file, "x", 1), 1);
  ASSERT_EQ(::fsync(file), 0);
  ASSERT_EQ(::write(file, "y", 1), 1);
  ::close(file);
  fs::rename(folder / "made", folder / "name");
  EXPECT_EQ(order.named_before_synced(), std::vector<std::string>{(folder / "name").string()});
  EXPECT_EQ(order.folders_not_synced().size(), 1U);
  sync_file(folder / "name");
  fs::rename(folder / "name", folder / "again");
  sync_folder_of(folder / "again");
  EXPECT_EQ(order.named_before_synced().size(), 1U) << "that one was synced";
  EXPECT_EQ(order.folders_not_synced().size(), 0U);
}

TEST(SyncOrder, a_folder_that_could_not_be_synced_is_said) {
  testing::ScratchFolder folder;
  std::ofstream{folder / "made"} << "x";
  SyncOrder order;
  order.break_folders();
  EXPECT_THROW(put_into_place(folder / "made", folder / "name"), Error);
  EXPECT_THROW(write_text_atomic(real_file_system(), folder / "sheet", "x"), Error);
}

TEST(SyncOrder, of_a_new_ledger) {
  const SyncOrder order;
  const FreshLedger fresh;
  expect_in_order(order, fresh.file());
}

TEST(SyncOrder, of_a_backup_and_its_restoring) {
  FreshLedger fresh;
  const SyncOrder order;
  (void)fresh.ledger.backup(fresh.folder / "copy.ledger");
  expect_in_order(order, fresh.folder / "copy.ledger");
  (void)restore_ledger(fresh.folder / "copy.ledger", fresh.folder / "again.ledger", FreshLedger::access(), fresh.clock,
                       fresh.random);
  expect_in_order(order, fresh.folder / "again.ledger");
}

TEST(SyncOrder, of_the_copy_that_a_migration_keeps) {
  FreshLedger fresh;
  fresh.close();
  const fs::path old = fresh.folder / "old.ledger";
  testing::unpack_ledger_of_version_1(old);
  const SyncOrder order;
  (void)Ledger::open(old, FreshLedger::access(), fresh.clock, fresh.random);
  EXPECT_EQ(order.named().size(), 1U);
  EXPECT_EQ(order.named_before_synced(), std::vector<std::string>{});
  EXPECT_EQ(order.folders_not_synced(), std::vector<std::string>{});
}

TEST(SyncOrder, of_a_zip_archive_and_of_files_written_whole) {
  testing::ScratchFolder folder;
  fs::create_directory(folder / "archive");
  const SyncOrder order;
  write_text_atomic(real_file_system(), folder / "archive" / "README.txt", "what this is");
  expect_in_order(order, folder / "archive" / "README.txt");
  pack_zip(folder / "archive", "archive", folder / "archive.zip");
  expect_in_order(order, folder / "archive.zip");
}

}  // namespace
}  // namespace sherdmark
