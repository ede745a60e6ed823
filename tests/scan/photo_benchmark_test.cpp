// The bars for codes in real photographs. Two-sided: a count above the bar's room means that the bar is to be raised.
#include "scan/photo_benchmark.h"

#include <gtest/gtest.h>

#include "support/test_support.h"

namespace sherdmark {
namespace {

using testing::PhotoTally;

struct Bar {
  std::string folder;
  int images;
  int least_read;  // right, or read where no right text is known
  int most_read;
};

TEST(Photographs, codes_are_read_in_more_of_them_than_by_any_single_reader_and_never_wrongly) {
  const auto photos = testing::photo_folder();
  if (!photos) GTEST_SKIP() << "the folder of photographs is absent: set SHERDMARK_PHOTOS to it";
  const std::vector<Bar> bars = {
      {"qr", 129, 126, 129}, {"micro-qr", 9, 9, 9}, {"data-matrix", 31, 31, 31}, {"no-code", 18, 0, 0}};
  CodeReadingOptions patient;
  patient.budget_ms = 60'000;  // what a slow machine reads is no less
  for (const Bar& bar : bars) {
    const PhotoTally tally = testing::read_photos(*photos, bar.folder, testing::our_reader(patient));
    EXPECT_EQ(tally.images, bar.images) << bar.folder;
    EXPECT_GE(tally.read + tally.unlisted, bar.least_read) << bar.folder;
    EXPECT_LE(tally.read + tally.unlisted, bar.most_read) << bar.folder;
    EXPECT_EQ(tally.wrong, 0) << bar.folder << ": " << ::testing::PrintToString(tally.mistakes);
  }
}

// The counting itself can fail.
TEST(Photographs, a_reader_that_reads_wrongly_or_nothing_is_counted_so) {
  const auto photos = testing::photo_folder();
  if (!photos) GTEST_SKIP() << "the folder of photographs is absent: set SHERDMARK_PHOTOS to it";
  const PhotoTally wrong = testing::read_photos(
      *photos, "micro-qr", [](const auto&) { return std::vector<std::string>{"not what it says"}; });
  EXPECT_EQ(wrong.read, 0);
  EXPECT_EQ(wrong.wrong, 9);
  const PhotoTally invented = testing::read_photos(
      *photos, "no-code", [](const auto&) { return std::vector<std::string>{"there is no code"}; });
  EXPECT_EQ(invented.wrong, 18);
  const PhotoTally nothing =
      testing::read_photos(*photos, "micro-qr", [](const auto&) { return std::vector<std::string>{}; });
  EXPECT_EQ(nothing.read, 0);
  EXPECT_EQ(nothing.missed.size(), 9U);
}

TEST(Photographs, texts_are_compared_with_white_space_folded) {
  const std::string hash = "b94d27b9934d3e08";  // of "hello world": sha256sum
  EXPECT_TRUE(testing::accepted(hash, "hello world"));
  EXPECT_TRUE(testing::accepted("0000000000000000," + hash, " hello \n\t world\x1D"));
  EXPECT_FALSE(testing::accepted(hash, "helloworld"));
  EXPECT_FALSE(testing::accepted("-", "hello world"));
}

}  // namespace
}  // namespace sherdmark
