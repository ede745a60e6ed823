#include "sherdmark/base/unfinished.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <stdexcept>

#include "sherdmark/base/files.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

namespace fs = std::filesystem;
using testing::ScratchFolder;

void put(const fs::path& file) { write_text_atomic(real_file_system(), file, "x"); }

void make_older(const fs::path& file, std::chrono::minutes age) {
  fs::last_write_time(file, fs::last_write_time(file) - age);
}

std::vector<std::string> names_in(const fs::path& folder) {
  std::vector<std::string> names;
  for (const fs::directory_entry& entry : fs::directory_iterator{folder})
    names.push_back(entry.path().filename().string());
  std::ranges::sort(names);
  return names;
}

TEST(Unfinished, is_gone_at_the_end_of_the_scope_whatever_it_was_and_whatever_happens) {
  const ScratchFolder scratch;
  const auto make_and_fail = [&](const fs::path& target, bool folder) {
    const Unfinished made{target};
    EXPECT_EQ(made.path().filename(), "copy.ledger.sherdmark-unfinished");
    put(folder ? made.path() / "deep" / "file" : made.path());
    put(made.path().string() + "-journal");
    throw std::runtime_error("the disk is full");
  };
  EXPECT_THROW(make_and_fail(scratch / "copy.ledger", false), std::runtime_error);
  EXPECT_EQ(names_in(scratch.path()), std::vector<std::string>{});
  EXPECT_THROW(make_and_fail(scratch / "copy.ledger/", true), std::runtime_error) << "a folder, with its slash";
  EXPECT_EQ(names_in(scratch.path()), std::vector<std::string>{});
}

TEST(Unfinished, what_was_left_under_a_name_is_removed_and_told_and_nothing_else) {
  const ScratchFolder scratch;
  const fs::path name = unfinished_name(scratch / "b.ledger");
  const std::vector<fs::path> left = {name / "catalog.csv", name.string() + "-journal", name.string() + ".lock"};
  for (const fs::path& file : left) put(file);
  for (const char* kept : {"b.ledger", "b.ledger.unfinished", "ab.ledger.sherdmark-unfinished"}) put(scratch / kept);
  EXPECT_EQ(remove_unfinished(scratch / "b.ledger"), (std::vector<fs::path>{name, left[1], left[2]}));
  EXPECT_EQ(names_in(scratch.path()),
            (std::vector<std::string>{"ab.ledger.sherdmark-unfinished", "b.ledger", "b.ledger.unfinished"}));
  EXPECT_TRUE(remove_unfinished(scratch / "b.ledger").empty());
  EXPECT_TRUE(remove_unfinished(scratch / "no folder/b.ledger").empty());
}

TEST(Unfinished, what_others_left_in_the_folder_goes_unless_it_may_be_in_the_making) {
  const ScratchFolder scratch;
  const fs::path made = scratch / "today.ledger";
  for (const char* name :
       {"today.ledger", "old.ledger", "old.ledger.sherdmark-unfinished", "old.ledger.sherdmark-unfinished-journal",
        "new.zip.sherdmark-unfinished", "notes.unfinished"})
    put(scratch / name);
  put(scratch / "sub/other.ledger.sherdmark-unfinished");
  for (const char* name : {"old.ledger", "old.ledger.sherdmark-unfinished", "old.ledger.sherdmark-unfinished-journal",
                           "notes.unfinished", "sub/other.ledger.sherdmark-unfinished"})
    make_older(scratch / name, std::chrono::minutes{61});
  make_older(scratch / "new.zip.sherdmark-unfinished", std::chrono::minutes{58});
  EXPECT_EQ(remove_older_unfinished(made),
            (std::vector<fs::path>{scratch / "old.ledger.sherdmark-unfinished",
                                   scratch / "old.ledger.sherdmark-unfinished-journal"}));
  EXPECT_EQ(names_in(scratch.path()), (std::vector<std::string>{"new.zip.sherdmark-unfinished", "notes.unfinished",
                                                                "old.ledger", "sub", "today.ledger"}));
  EXPECT_EQ(names_in(scratch / "sub").size(), 1U);
  EXPECT_TRUE(remove_older_unfinished(scratch / "not made").empty());
}

}  // namespace
}  // namespace sherdmark
