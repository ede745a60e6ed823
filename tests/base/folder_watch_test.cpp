#include "sherdmark/base/folder_watch.h"

#include <gtest/gtest.h>

#include <fstream>

#include "sherdmark/base/error.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

namespace fs = std::filesystem;

class FolderWatchTest : public ::testing::Test {
 protected:
  void write(const std::string& name, const std::string& text) {
    fs::create_directories((folder_ / name).parent_path());
    std::ofstream{folder_ / name} << text;
    // Every change has a date of its own, whatever the file system's clock.
    fs::last_write_time(folder_ / name, fs::file_time_type{} + std::chrono::hours{++changes_});
  }
  std::vector<std::string> look() {
    std::vector<std::string> names;
    for (const fs::path& file : watch_.look()) names.push_back(fs::relative(file, folder_.path()).string());
    return names;
  }
  using Names = std::vector<std::string>;

  testing::ScratchFolder folder_;
  int changes_ = 0;
  FolderWatch watch_{folder_.path(), [](const fs::path& file) { return file.extension() == ".jpg"; }};
};

TEST_F(FolderWatchTest, a_file_is_given_once_it_rests_and_only_once) {
  EXPECT_EQ(look(), Names{});
  write("b.jpg", "picture");
  write("in/a.jpg", "picture");
  write("notes.txt", "not wanted");
  EXPECT_EQ(look(), Names{});
  EXPECT_EQ(watch_.unsettled(), 2U);
  EXPECT_EQ(look(), (Names{"b.jpg", "in/a.jpg"}));
  EXPECT_EQ(watch_.unsettled(), 0U);
  EXPECT_EQ(look(), Names{});
}

TEST_F(FolderWatchTest, a_file_that_is_still_being_written_is_left_alone) {
  write("a.jpg", "p");
  EXPECT_EQ(look(), Names{});
  write("a.jpg", "pi");
  EXPECT_EQ(look(), Names{});
  write("a.jpg", "pc");  // as long as before, but newer
  EXPECT_EQ(look(), Names{});
  EXPECT_EQ(look(), Names{"a.jpg"});
}

TEST_F(FolderWatchTest, an_empty_file_is_never_given_and_a_changed_one_again) {
  write("a.jpg", "");
  EXPECT_EQ(look(), Names{});
  EXPECT_EQ(look(), Names{});
  EXPECT_EQ(watch_.unsettled(), 0U);
  write("a.jpg", "picture");
  EXPECT_EQ(look(), Names{});
  EXPECT_EQ(look(), Names{"a.jpg"});
  write("a.jpg", "another");
  EXPECT_EQ(look(), Names{});
  EXPECT_EQ(look(), Names{"a.jpg"});
  fs::remove(folder_ / "a.jpg");
  EXPECT_EQ(look(), Names{});
}

TEST_F(FolderWatchTest, a_file_that_rests_in_the_middle_of_a_copy_waits_for_its_end_but_not_for_ever) {
  int whole = 0;
  FolderWatch watch{folder_.path(), [](const fs::path&) { return true; }, [&](const fs::path&) { return whole > 0; }};
  write("a.jpg", "pict");
  EXPECT_TRUE(watch.look().empty());
  for (int i = 0; i < 5; ++i) EXPECT_TRUE(watch.look().empty());
  EXPECT_EQ(watch.unsettled(), 1U) << "whoever waits for quiet waits for it";
  whole = 1;
  EXPECT_EQ(watch.look().size(), 1U);
  EXPECT_EQ(watch.look().size(), 0U) << "once";
  whole = 0;
  write("b.jpg", "broken for good");
  int looks = 0;
  while (watch.look().empty() && looks < 100) ++looks;
  EXPECT_EQ(looks, FolderWatch::k_patience_looks);
}

TEST_F(FolderWatchTest, a_folder_that_is_not_there_is_said) {
  FolderWatch watch{folder_ / "nowhere", [](const fs::path&) { return true; }};
  try {
    (void)watch.look();
    ADD_FAILURE() << "looked through nothing";
  } catch (const Error& error) {
    EXPECT_EQ(error.family(), ErrorFamily::environment);
  }
}

}  // namespace
}  // namespace sherdmark
