#include "sherdmark/count/sampling.h"

#include <gtest/gtest.h>

#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/hypergeometric.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

// --- hypergeometric -------------------------------------------------------------------------------------------------
// Published classroom examples (values to four places) and a plan n=100 c=1 recomputed exactly.
TEST(Sampling, PublishedHypergeometricExamplesComeOut) {
  EXPECT_NEAR(hypergeometric_cdf(0, 25, 2, 5), 0.6333, 5e-5);
  EXPECT_NEAR(hypergeometric_cdf(0, 25, 5, 5), 0.2918, 5e-5);
  EXPECT_NEAR(hypergeometric_cdf(0, 10, 1, 4), 0.6, 1e-12);
  EXPECT_NEAR(hypergeometric_cdf(0, 10, 2, 4), 1.0 / 3, 1e-12);
  EXPECT_NEAR(hypergeometric_cdf(1, 100, 5, 15), 0.83909, 5e-6);
  EXPECT_NEAR(hypergeometric_cdf(1, 100, 8, 15), 0.65648, 5e-6);
  EXPECT_NEAR(1 - hypergeometric_cdf(0, 100, 10, 4), 0.34837, 5e-6);
}

// Montgomery's operating characteristic for n = 89, c = 2 (book values from memory; recomputed binomially).
TEST(Sampling, OperatingCharacteristicOfTheTextbookPlanComesOut) {
  const std::pair<double, double> points[] = {{.005, .9897}, {.01, .9397}, {.02, .7366}, {.03, .4985}, {.04, .3042},
                                              {.05, .1721},  {.06, .0919}, {.07, .0468}, {.08, .0230}, {.09, .0109}};
  for (const auto& [share, accepted] : points) EXPECT_NEAR(binomial_cdf(2, 89, share), accepted, 6e-5) << share;
}

TEST(Sampling, DistributionsAgreeWithBoostMathOverAGrid) {
  for (const unsigned lot : {5U, 37U, 400U, 5000U})
    for (const unsigned defective : {1U, 3U, lot / 4})
      for (const unsigned draw : {1U, lot / 3, lot - 1}) {
        if (defective > lot || draw == 0) continue;
        const boost::math::hypergeometric_distribution<double> judge(defective, draw, lot);
        const auto range = boost::math::support(judge);
        for (unsigned x = range.first; x <= std::min(range.second, range.first + 20); ++x)
          EXPECT_NEAR(hypergeometric_cdf(x, lot, defective, draw), boost::math::cdf(judge, x), 1e-9)
              << lot << " " << defective << " " << draw << " " << x;
      }
  for (const int draw : {1, 20, 300, 10000})
    for (const double share : {0.001, 0.05, 0.5, 0.97})
      for (const int x : {0, 1, draw / 2, draw - 1})
        EXPECT_NEAR(binomial_cdf(x, draw, share), boost::math::cdf(boost::math::binomial(draw, share), x), 1e-10);
}

// --- discovery samples ----------------------------------------------------------------------------------------------
struct Discovery {
  std::int64_t lot;
  double share, confidence;
  std::int64_t sample;
};
// Exact hypergeometric sizes with D = share x lot (computed twice independently); unlimited by ln(1-CL)/ln(1-p).
constexpr Discovery k_discovery[] = {
    {100, .01, .95, 95},    {100, .02, .95, 78},   {100, .05, .95, 45},   {100, .10, .95, 25},   {200, .01, .95, 155},
    {200, .05, .95, 51},    {500, .01, .95, 225},  {500, .02, .95, 129},  {500, .05, .95, 56},   {1000, .01, .95, 258},
    {1000, .02, .95, 138},  {1000, .05, .95, 57},  {1000, .10, .95, 29},  {2000, .01, .95, 277}, {5000, .01, .95, 290},
    {10000, .01, .95, 294}, {10000, .05, .95, 59}, {100, .01, .90, 90},   {200, .02, .90, 87},   {1000, .05, .90, 44},
    {1000, .01, .99, 368},  {5000, .02, .99, 223}, {10000, .10, .99, 44}, {100, .05, .99, 59},   {500, .01, .99, 300}};

TEST(Sampling, DiscoverySampleSizesComeOut) {
  for (const Discovery& row : k_discovery)
    EXPECT_EQ(discovery_sample_size(row.lot, tolerable_count(row.lot, row.share), row.confidence), row.sample)
        << row.lot << " " << row.share << " " << row.confidence;
  EXPECT_EQ(discovery_sample_size_unlimited(.01, .95), 299);
  EXPECT_EQ(discovery_sample_size_unlimited(.05, .95), 59);
  EXPECT_EQ(discovery_sample_size_unlimited(.001, .95), 2995);
  EXPECT_EQ(discovery_sample_size_unlimited(.01, .99), 459);
}

// OSTI report 877925: 1000 items, "no more than 10 defective with 95 %" must detect 11; detecting 10 takes more.
TEST(Sampling, NoMoreThanTenOfAThousandIsTwoHundredThirtyEight) {
  EXPECT_EQ(discovery_sample_size(1000, 11, .95), 238);
  EXPECT_EQ(discovery_sample_size(1000, 10, .95), 258);
}

// --- bounds
// -----------------------------------------------------------------------------------------------------------
// NIST/SEMATECH e-Handbook of Statistical Methods 7.2.4.2: 4 defectives of 20, 90 % two-sided.
TEST(Sampling, ClopperPearsonMatchesTheHandbookExample) {
  EXPECT_NEAR(clopper_pearson(4, 20, .90).lower, 0.071354, 1e-6);
  EXPECT_NEAR(clopper_pearson(4, 20, .90).upper, 0.401028, 1e-6);
  EXPECT_NEAR(clopper_pearson(4, 20, .95).lower, 0.057334, 1e-6);
  EXPECT_NEAR(clopper_pearson(4, 20, .95).upper, 0.436614, 1e-6);
  EXPECT_NEAR(clopper_pearson(0, 100, .95).upper, 0.036217, 1e-6);
  EXPECT_EQ(clopper_pearson(0, 100, .95).lower, 0);
}

TEST(Sampling, OneSidedUpperBoundsComeOut) {
  const struct {
    std::int64_t found, draw;
    double upper;
  } rows[] = {{0, 10, .258866}, {0, 20, .139108}, {0, 59, .049508},  {0, 100, .029513}, {0, 299, .009969},
              {1, 50, .091398}, {2, 50, .120614}, {1, 100, .046560}, {3, 125, .060859}, {5, 200, .051843}};
  for (const auto& row : rows) EXPECT_NEAR(clopper_pearson_upper(row.found, row.draw, .95), row.upper, 1e-6);
}

TEST(Sampling, ClopperPearsonAgreesWithBoostMathsBetaQuantilesOverAGrid) {
  for (const int draw : {1, 7, 60, 900})
    for (const int found : {0, 1, draw / 3, draw - 1}) {
      if (found < 0 || found >= draw) continue;
      const boost::math::beta_distribution<double> judge(found + 1.0, static_cast<double>(draw - found));
      EXPECT_NEAR(clopper_pearson_upper(found, draw, .95), boost::math::quantile(judge, .95), 1e-10);
    }
}

TEST(Sampling, HypergeometricUpperBoundsComeOut) {
  const struct {
    std::int64_t lot, draw, found, most;
  } rows[] = {{100, 20, 0, 12},   {100, 45, 0, 4},    {200, 50, 0, 10},   {200, 50, 1, 16},   {500, 50, 0, 27},
              {500, 50, 1, 43},   {500, 100, 2, 28},  {1000, 59, 0, 48},  {1000, 100, 0, 28}, {1000, 100, 1, 44},
              {1000, 100, 2, 59}, {1000, 200, 3, 35}, {5000, 59, 0, 246}, {5000, 299, 0, 48}};
  for (const auto& row : rows)
    EXPECT_EQ(hypergeometric_upper(row.found, row.lot, row.draw, .95), row.most) << row.lot << " " << row.draw;
  EXPECT_EQ(hypergeometric_upper(3, 20, 20, .95), 3);  // everything was looked at
}

// --- ISO 2859-1 / MIL-STD-105E
// ------------------------------------------------------------------------------------------
TEST(Sampling, CodeLettersComeOut) {
  const struct {
    std::int64_t lot;
    InspectionLevel level;
    char letter;
  } rows[] = {{8, InspectionLevel::ii, 'A'},    {9, InspectionLevel::ii, 'B'},       {90, InspectionLevel::ii, 'E'},
              {91, InspectionLevel::ii, 'F'},   {1000, InspectionLevel::ii, 'J'},    {5000, InspectionLevel::ii, 'L'},
              {10001, InspectionLevel::i, 'K'}, {500001, InspectionLevel::iii, 'R'}, {300, InspectionLevel::s3, 'D'}};
  for (const auto& row : rows) EXPECT_EQ(code_letter(row.lot, row.level), row.letter) << row.lot;
}

TEST(Sampling, SinglePlansOfTheTableComeOut) {
  const struct {
    std::int64_t lot;
    double aql;
    char letter;
    std::int64_t sample, accept;
  } rows[] = {{1000, .65, 'J', 80, 1}, {1000, 1.0, 'J', 80, 2},  {1000, 2.5, 'J', 80, 5}, {1000, 4.0, 'J', 80, 7},
              {400, 1.0, 'H', 50, 1},  {120, .65, 'F', 20, 0},   {60, .65, 'F', 20, 0},   {60, 2.5, 'F', 20, 1},
              {60, 1.5, 'D', 8, 0},    {5000, 1.0, 'L', 200, 5}, {8, 10, 'C', 5, 1},      {8, .65, 'F', 8, 0}};
  for (const auto& row : rows) {
    const SamplingPlan plan = single_sampling_plan(row.lot, InspectionLevel::ii, row.aql);
    EXPECT_EQ(plan.letter, row.letter) << row.lot << " " << row.aql;
    EXPECT_EQ(plan.sample, row.sample) << row.lot << " " << row.aql;
    EXPECT_EQ(plan.accept, row.accept) << row.lot << " " << row.aql;
  }
}

// MIL-STD-105E table II-A as printed, row by row; v: first plan below, ^: first plan above. A at 10 % prints an up
// arrow although no row lies above; it is resolved downwards.
constexpr const char* k_table[] = {
    "A 2 v v v v v v v v v v 0 v",      "B 3 v v v v v v v v v 0 ^ v",      "C 5 v v v v v v v v 0 ^ v 1",
    "D 8 v v v v v v v 0 ^ v 1 2",      "E 13 v v v v v v 0 ^ v 1 2 3",     "F 20 v v v v v 0 ^ v 1 2 3 5",
    "G 32 v v v v 0 ^ v 1 2 3 5 7",     "H 50 v v v 0 ^ v 1 2 3 5 7 10",    "J 80 v v 0 ^ v 1 2 3 5 7 10 14",
    "K 125 v 0 ^ v 1 2 3 5 7 10 14 21", "L 200 0 ^ v 1 2 3 5 7 10 14 21 ^", "M 315 ^ v 1 2 3 5 7 10 14 21 ^ ^",
    "N 500 v 1 2 3 5 7 10 14 21 ^ ^ ^", "P 800 1 2 3 5 7 10 14 21 ^ ^ ^ ^", "Q 1250 2 3 5 7 10 14 21 ^ ^ ^ ^ ^",
    "R 2000 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^"};
constexpr double k_aql[] = {.065, .10, .15, .25, .40, .65, 1.0, 1.5, 2.5, 4.0, 6.5, 10};

TEST(Sampling, EveryLetterFollowsTheArrowsOfTableTwoA) {
  // A lot size of inspection level II or III for each letter.
  const std::int64_t lots[] = {5,    12,   20,   40,    70,     120,    200,    400,
                               1000, 3000, 9000, 30000, 100000, 400000, 600000, 600000};
  std::vector<std::vector<std::string>> table;
  for (const char* row : k_table) table.push_back(split(row, ' '));
  for (std::size_t row = 0; row < table.size(); ++row)
    for (std::size_t column = 0; column < 12; ++column) {
      std::size_t at = row;
      const std::string arrow = table[row][column + 2];
      while (table[at][column + 2] == "v" || table[at][column + 2] == "^") at = arrow == "v" ? at + 1 : at - 1;
      const SamplingPlan plan =
          single_sampling_plan(lots[row], row == 15 ? InspectionLevel::iii : InspectionLevel::ii, k_aql[column]);
      EXPECT_EQ(std::string(1, plan.letter), table[at][0]) << table[row][0] << " " << k_aql[column];
      EXPECT_EQ(plan.sample, std::min(lots[row], *parse_integer(table[at][1])));
      EXPECT_EQ(plan.accept, *parse_integer(table[at][column + 2]));
    }
}

TEST(Sampling, ArgumentsOutOfRangeAreRefusedInWords) {
  EXPECT_THROW((void)clopper_pearson_upper(3, 2, .95), Error);
  EXPECT_THROW((void)discovery_sample_size(10, 0, .95), Error);
  EXPECT_THROW((void)single_sampling_plan(100, InspectionLevel::ii, 3.0), Error);
}

}  // namespace
}  // namespace sherdmark
