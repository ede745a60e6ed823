// A house standard from answers reads the very number it was made from, and none that is built otherwise.
#include "sherdmark/standard/new_standard.h"

#include <gtest/gtest.h>

#include "sherdmark/base/error.h"
#include "sherdmark/standard/house_standard.h"

namespace sherdmark {
namespace {

struct Row {
  std::string example;
  std::string kinds;
  std::string other;  // of another build
  bool lots = false;
};

void PrintTo(const Row& row, std::ostream* out) { *out << row.example << " as " << row.kinds; }

const std::vector<Row> k_rows = {
    {"2031-114-12", "year integer integer", "2031/114/12"},
    {"2031-114-12", "year integer integer", "114-12", true},
    {"2031.4.7", "year integer integer", "2031.4-7"},
    {"16ZQ5/12.3", "trinomial integer integer", "16ZQ5-12-3", true},
    {"AB12/0042", "letters integer integer", "ABC12/0042"},
    {"4711", "integer", "47-11"},
    {"K-007", "letters integer", "K-07"},
    {"OB 2024/17.3", "letters year integer integer", "OC2024-17.3", true},
    {"OB - 2024 / 17", "letters year integer", "OB/2024-17"},
};

class NewStandard : public ::testing::TestWithParam<Row> {};

TEST_P(NewStandard, reads_the_number_it_was_made_from) {
  const Row& row = GetParam();
  std::string kinds;
  for (const NumberPiece& piece : cut_number(row.example)) kinds += (kinds.empty() ? "" : " ") + piece.kind;
  EXPECT_EQ(kinds, row.kinds);
  StandardAnswers answers;
  answers.repository = "Quill \"Valley\" Museum";
  answers.example = row.example;
  answers.names_lots = row.lots;
  const HouseStandard standard = parse_house_standard(write_house_standard(answers), "made.toml");
  EXPECT_EQ(standard.repository, answers.repository);
  const auto read = standard.parse_number(row.example);
  ASSERT_TRUE(read.has_value());
  EXPECT_EQ(read->number.text(), number_of(cut_number(row.example)));
  EXPECT_EQ(read->number.level(), NumberLevel::item);
  const auto lot = standard.schemes.front().up_to(read->number, NumberLevel::lot);
  EXPECT_EQ(lot.has_value() && lot->level() == NumberLevel::lot, row.lots);
  const auto other = standard.parse_number(row.other);
  EXPECT_TRUE(!other || other->number.text() != row.other) << row.other;
}

INSTANTIATE_TEST_SUITE_P(Examples, NewStandard, ::testing::ValuesIn(k_rows));

TEST(NewStandard, what_is_no_number_is_said) {
  for (const char* example : {"", "-1", "12-", "2031 114", "AB CD 1", " 12", "1?2", "\xC3\xA9",
                              "1234567890123456789012345678901234567890123"})
    EXPECT_THROW((void)cut_number(example), Error) << example;
  StandardAnswers answers;
  answers.example = "12-3";
  EXPECT_THROW((void)write_house_standard(answers), Error) << "nobody said what the repository is called";
}

TEST(NewStandard, letters_that_every_number_begins_with_are_the_only_ones_read) {
  StandardAnswers answers{.repository = "Quill Valley Museum", .example = "QF2031/12", .fixed_letters = true};
  const HouseStandard fixed = parse_house_standard(write_house_standard(answers), "made.toml");
  EXPECT_TRUE(fixed.parse_number("qf 2031/7"));
  EXPECT_FALSE(fixed.parse_number("QE2031/7"));
  answers.fixed_letters = false;
  const HouseStandard any = parse_house_standard(write_house_standard(answers), "made.toml");
  EXPECT_TRUE(any.parse_number("QE2031/7"));
}

}  // namespace
}  // namespace sherdmark
