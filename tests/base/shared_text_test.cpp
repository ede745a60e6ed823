#include "sherdmark/base/shared_text.h"

#include <gtest/gtest.h>

#include <string>
#include <thread>
#include <utility>
#include <vector>

namespace sherdmark {
namespace {

TEST(SharedText, says_what_it_was_made_of) {
  EXPECT_TRUE(SharedText{}.empty());
  EXPECT_TRUE(SharedText{""}.empty());
  EXPECT_EQ(SharedText{}.str(), "");
  for (const std::string& text : {std::string{"B"}, std::string{"16ZQ5/12.3"}, std::string(100'000, 'x'),
                                  std::string{"a\0b", 3}, std::string{"K\u00FChlturm"}}) {
    const SharedText shared = text;
    EXPECT_EQ(shared.str(), text);
    EXPECT_EQ(shared.size(), text.size());
    EXPECT_FALSE(shared.empty());
  }
}

TEST(SharedText, copies_share_what_is_written_and_outlive_each_other) {
  SharedText copy;
  {
    const SharedText first = std::string{"body sherd"};
    copy = first;
    EXPECT_EQ(copy.view().data(), first.view().data());
  }
  EXPECT_EQ(copy, "body sherd");
  SharedText moved = std::move(copy);
  EXPECT_EQ(moved, "body sherd");
  const SharedText& itself = moved;
  moved = itself;
  EXPECT_EQ(moved, "body sherd");
  moved = "bowl";
  EXPECT_EQ(moved, SharedText{"bowl"});
}

TEST(SharedText, is_compared_by_what_it_says) {
  EXPECT_EQ(SharedText{"a"}, SharedText{std::string{"a"}});
  EXPECT_NE(SharedText{"a"}, SharedText{"b"});
  EXPECT_NE(SharedText{"a"}, SharedText{});
  EXPECT_EQ(SharedText{}, "");
  EXPECT_LT(SharedText{"B1"}, SharedText{"B10"});
  EXPECT_LT(SharedText{}, SharedText{"a"});
}

TEST(SharedText, may_be_copied_and_dropped_by_several_threads) {
  const SharedText text = std::string{"Room 2/Range A/Shelf 3"};
  std::vector<std::thread> threads;
  for (int i = 0; i < 4; ++i)
    threads.emplace_back([&text] {
      for (int n = 0; n < 10'000; ++n) {
        const std::vector<SharedText> copies(3, text);
        ASSERT_EQ(copies.back().size(), 22U);
      }
    });
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(text, "Room 2/Range A/Shelf 3");
}

}  // namespace
}  // namespace sherdmark
