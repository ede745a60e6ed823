#include "sherdmark/base/random.h"

#include <gtest/gtest.h>

#include <array>

#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

// The reference sequence of SplitMix64 for the seed 1234567, as it goes round with the public-domain C code
// (from memory).
TEST(SeededRandom, gives_the_reference_sequence_of_splitmix64) {
  SeededRandom random{1234567};
  for (const std::uint64_t expected : {6457827717110365317ULL, 3203168211198807973ULL, 9817491932198370423ULL,
                                       4593380528125082431ULL, 16408922859458223821ULL})
    EXPECT_EQ(random.next(), expected);
}

TEST(SeededRandom, below_stays_below_and_reaches_every_value_about_equally_often) {
  SeededRandom random{42};
  std::array<int, 7> counts{};
  for (int i = 0; i < 70'000; ++i) ++counts.at(random.below(7));
  for (const int count : counts) {  // mean 10,000, standard deviation 93: six of them either way
    EXPECT_GT(count, 9'440);
    EXPECT_LT(count, 10'560);
  }
}

TEST(SeededRandom, unit_lies_in_zero_to_one_without_one) {
  SeededRandom random{7};
  double sum = 0;
  for (int i = 0; i < 10'000; ++i) {
    const double value = random.unit();
    ASSERT_GE(value, 0.0);
    ASSERT_LT(value, 1.0);
    sum += value;
  }
  EXPECT_NEAR(sum / 10'000, 0.5, 0.02);
}

TEST(SeededRandom, a_number_below_zero_is_our_own_bug) {
  SeededRandom random{1};
  try {
    (void)random.below(0);
    FAIL() << "nothing was thrown";
  } catch (const Error& error) {
    EXPECT_EQ(error.exit_code(), 70);
  }
}

TEST(SystemRandom, does_not_repeat_itself) {
  SystemRandom random;
  EXPECT_NE(random.next(), random.next());
}

}  // namespace
}  // namespace sherdmark
