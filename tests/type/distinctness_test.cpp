#include "sherdmark/type/distinctness.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace sherdmark {
namespace {

double distance_of(const std::vector<GlyphPair>& pairs, char32_t a, char32_t b) {
  for (const GlyphPair& pair : pairs)
    if ((pair.first == a && pair.second == b) || (pair.first == b && pair.second == a)) return pair.distinctness;
  ADD_FAILURE() << "pair not ranked";
  return -1;
}

// A grammar of one to three digits, or a letter of "OI" and then a digit.
NumberGrammar small_grammar() {
  NumberGrammar grammar;
  grammar.states.resize(5);
  for (char32_t c = U'0'; c <= U'9'; ++c) {
    grammar.states[0].arcs.push_back({c, 1});
    grammar.states[1].arcs.push_back({c, 2});
    grammar.states[2].arcs.push_back({c, 3});
    grammar.states[4].arcs.push_back({c, 3});
  }
  grammar.states[0].arcs.push_back({U'I', 4});
  grammar.states[0].arcs.push_back({U'O', 4});
  for (const std::size_t state : {1U, 2U, 3U}) grammar.states[state].accepting = true;
  return grammar;
}

// The institute for safe medication practices lists O/0, 1/l and Z/2 among the pairs misread most; published optical
// reading manuals add 8/B, 5/S and O/Q. Each is less distinct than half of all pairs in every plain face.
TEST(Distinctness, PublishedConfusablePairsAreAmongTheLeastDistinct) {
  for (const char* family : {"Hack", "DejaVu Sans", "Open Sans", "Liberation Sans", "B612"}) {
    const auto pairs = rank_pairs(Typeface::find(family), U"0O1I2Z5S8BQLTHK47", {});
    const double median = pairs[pairs.size() / 2].distinctness;
    for (const auto& [a, b] : {std::pair{U'O', U'0'}, {U'8', U'B'}, {U'5', U'S'}, {U'2', U'Z'}, {U'O', U'Q'}})
      EXPECT_LT(distance_of(pairs, a, b), median / 1.5) << family << " " << static_cast<char>(a);
    EXPECT_LT(distance_of(pairs, U'8', U'B'), distance_of(pairs, U'8', U'L'));
  }
}

TEST(Distinctness, GlyphIsNotDistinctFromItselfAndSmallerTypeIsLessDistinct) {
  const Typeface face = Typeface::find("Hack");
  ReadingConditions small;
  small.size_pt = 4;
  ReadingConditions large;
  large.size_pt = 10;
  for (const auto& [a, b] : {std::pair{U'0', U'8'}, {U'5', U'6'}, {U'1', U'7'}})
    EXPECT_LT(distance_of(rank_pairs(face, {a, b}, small), a, b), distance_of(rank_pairs(face, {a, b}, large), a, b));
}

TEST(Distinctness, SixTurnedUpsideDownIsNine) {
  for (const char* family : {"Hack", "B612", "Noto Sans"}) {
    const auto pairs = rank_rotated_pairs(Typeface::find(family), U"0123456789", {});
    EXPECT_LT(distance_of(pairs, U'6', U'9'), 0.02) << family;
    EXPECT_GT(distance_of(pairs, U'4', U'7'), 0.1) << family;
  }
}

TEST(Distinctness, OnlyCharactersThatCanStandAtTheSamePlaceAreRivals) {
  const auto sets = rival_sets({small_grammar()});
  ASSERT_EQ(sets.size(), 1U);
  EXPECT_EQ(sets[0], U"0123456789IO");
  EXPECT_TRUE(rival_sets({small_grammar()}, {"12"}).empty());
  EXPECT_EQ(rival_sets({small_grammar()}, {"12", "O3", "13"}), (std::vector<std::u32string>{U"1O", U"23"}));
}

TEST(Distinctness, NumbersThatReadAsAnotherNumberUpsideDownAreNamed) {
  const auto pairs = upside_down_numbers(Typeface::find("Hack"), {small_grammar()}, {"66", "69", "12", "99"}, {});
  ASSERT_EQ(pairs.size(), 2U);
  EXPECT_EQ(pairs[0].number, "66");
  EXPECT_EQ(pairs[0].reads_as, "99");
  EXPECT_EQ(pairs[1].number, "99");
}

TEST(Distinctness, FontThatIsNotInstalledIsRankedLastWithTheReason) {
  const auto merits = rank_fonts({"No Such Family", "Hack", "B612"}, {small_grammar()}, {"60", "80", "90"}, {});
  ASSERT_EQ(merits.size(), 3U);
  EXPECT_EQ(merits[2].family, "No Such Family");
  EXPECT_NE(merits[2].why_not.find("not installed"), std::string::npos);
  EXPECT_EQ(merits[0].family, "Hack");
}

TEST(Distinctness, OfFontsWithoutFindingsTheOneWhoseZeroIsNoLetterGoesFirst) {
  const auto merits = rank_fonts({"B612", "Hack"}, {small_grammar()}, {"60", "80", "90"}, {});
  ASSERT_EQ(merits.size(), 2U);
  EXPECT_EQ(merits[0].family, "Hack");
  EXPECT_TRUE(merits[0].tells_zero_from_o());
  EXPECT_FALSE(merits[1].tells_zero_from_o());
  EXPECT_EQ(merits[0].findings, merits[1].findings);
  EXPECT_LT(merits[0].mean_of_worst_five, merits[1].mean_of_worst_five);
}

}  // namespace
}  // namespace sherdmark
