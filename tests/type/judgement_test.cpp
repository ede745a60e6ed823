#include "sherdmark/type/judgement.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

// One to three characters of the alphabet.
NumberGrammar short_words(std::u32string alphabet) {
  std::ranges::sort(alphabet);
  NumberGrammar grammar;
  grammar.states.resize(4);
  for (int state = 0; state < 3; ++state)
    for (const char32_t c : alphabet) grammar.states[static_cast<std::size_t>(state)].arcs.push_back({c, state + 1});
  for (const std::size_t state : {1U, 2U, 3U}) grammar.states[state].accepting = true;
  return grammar;
}

// A letter of O and I, then one or two digits.
NumberGrammar letter_and_digits() {
  NumberGrammar grammar;
  grammar.states.resize(4);
  for (const char32_t c : {U'I', U'O'}) grammar.states[0].arcs.push_back({c, 1});
  for (char32_t c = U'0'; c <= U'9'; ++c) {
    grammar.states[1].arcs.push_back({c, 2});
    grammar.states[2].arcs.push_back({c, 3});
  }
  grammar.states[2].accepting = grammar.states[3].accepting = true;
  return grammar;
}

TypeQuestion question(NumberGrammar grammar, std::vector<std::string> numbers, const std::string& font) {
  TypeQuestion asked;
  asked.grammars.push_back(std::move(grammar));
  asked.numbers = std::move(numbers);
  asked.font = font;
  asked.rule = {0.15, 0.30};
  asked.candidates = {font};
  return asked;
}

const RivalPair* find_pair(const TypeJudgement& found, char32_t a, char32_t b) {
  for (const RivalPair& rival : found.rivals)
    if (std::minmax(rival.pair.first, rival.pair.second) == std::minmax(a, b)) return &rival;
  return nullptr;
}

TEST(TypeJudgement, PairThatCanStandAtTheSamePlaceIsNamedWithANumberForEachAndOneThatTheSchemeExcludesIsNot) {
  const TypeJudgement apart = judge_type(question(letter_and_digits(), {"O0", "O10", "I11"}, "DejaVu Sans"));
  EXPECT_EQ(find_pair(apart, U'O', U'0'), nullptr);
  EXPECT_EQ(find_pair(apart, U'I', U'1'), nullptr);
  const RivalPair* digits = find_pair(apart, U'0', U'1');
  ASSERT_NE(digits, nullptr);
  EXPECT_EQ(digits->first_number, "O0");
  EXPECT_EQ(digits->second_number, "O10");
  EXPECT_EQ(apart.findings(), 0U);

  // O and 0 are the pair that published lists of misread characters name first.
  const TypeJudgement together = judge_type(question(short_words(U"O0123"), {"O1", "02"}, "DejaVu Sans"));
  ASSERT_NE(find_pair(together, U'O', U'0'), nullptr);
  EXPECT_LT(find_pair(together, U'O', U'0')->pair.distinctness, k_distinctness_limit);
  EXPECT_GE(together.findings(), 1U);
}

TEST(TypeJudgement, RuleTellsSixtySixFromNinetyNineAndWithoutItTheyAreTheSame) {
  for (const char* font : {"Hack", "B612", "Noto Sans"}) {
    TypeQuestion asked = question(short_words(U"0123456789"), {"66", "99", "68", "12"}, font);
    const TypeJudgement ruled = judge_type(asked);
    EXPECT_GE(ruled.turned_bare.size(), 2U) << font;  // 66 and 99; in some faces 68 turns into 89
    EXPECT_TRUE(ruled.turned_with_rule.empty()) << font;
    asked.rule.thickness_mm = 0;
    const TypeJudgement bare = judge_type(asked);
    EXPECT_EQ(bare.turned_with_rule.size(), bare.turned_bare.size()) << font;
    EXPECT_GE(bare.findings(), 2U) << font;
  }
}

// "rn/m" and "cl/d" are named in published lists of strings that are misread.
TEST(TypeJudgement, NeighboursThatReadAsOneCharacterAreFoundInAProportionalFaceAndNotInAFixedOne) {
  const std::vector<std::string> numbers{"arn", "cla", "mad"};
  TypeQuestion asked = question(short_words(U"acdlmnr"), numbers, "Liberation Sans");
  asked.conditions.size_pt = 4;
  asked.conditions.distance_mm = 600;
  const TypeJudgement proportional = judge_type(asked);
  EXPECT_TRUE(std::ranges::any_of(proportional.joined, [](const JoinedPair& one) {
    return one.pair == "rn" && one.single == "m" && one.number == "arn" && one.reads_as == "am";
  }));
  asked.font = "Hack";
  EXPECT_TRUE(judge_type(asked).joined.empty());
}

TEST(TypeJudgement, FontThatWouldBeSubstitutedIsAnErrorOfTheEnvironment) {
  try {
    (void)judge_type(question(short_words(U"01"), {"0"}, "No Such Family"));
    FAIL() << "a substitute was judged";
  } catch (const Error& error) {
    EXPECT_EQ(error.family(), ErrorFamily::environment);
  }
}

TEST(TypeJudgement, NothingToJudgeIsSaid) {
  EXPECT_THROW((void)judge_type(question(short_words(U"01"), {}, "Hack")), Error);
}

TEST(TypeJudgement, EveryFontItRanksIsInstalledHere) {
  for (const std::string& font : label_fonts()) EXPECT_NO_THROW((void)Typeface::find(font)) << font;
}

// The eye at 350 mm sees a 5 pt stroke blurred: less than full ink, more than none; a larger type is seen blacker.
TEST(TypeJudgement, SeenGlyphIsBlurredAndLargerTypeIsSeenBlacker) {
  const auto darkest = [](const GreyPicture& picture) {
    int most = 0;
    for (int y = 0; y < picture.height_px(); ++y)
      for (int x = 0; x < picture.width_px(); ++x) most = std::max<int>(most, picture.row(y)[x]);
    return most;
  };
  const Typeface face = Typeface::find("Hack");
  ReadingConditions large;
  large.size_pt = 12;
  const int at_5 = darkest(seen_glyph(face, U'1', {}));
  const int at_12 = darkest(seen_glyph(face, U'1', large));
  EXPECT_GT(at_5, 60);
  EXPECT_LT(at_5, 250);
  EXPECT_GT(at_12, at_5);
}

}  // namespace
}  // namespace sherdmark
