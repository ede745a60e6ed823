#include "sherdmark/type/legibility.h"

#include <gtest/gtest.h>

#include <string>

namespace sherdmark {
namespace {

// Cap 0.716 em and x-height 0.519 em (Arial as measured in print references). The table is computed from NUREG-0700's
// H = 6.283 D MA / 21600.
constexpr double k_cap_em = 0.716;
constexpr double k_x_em = 0.519;

struct Row {
  double size_pt, body_mm, cap_mm, x_mm, at_250, at_300, at_350, at_400, reach_20, reach_16;
};
constexpr Row k_rows[] = {{4, 1.411, 1.010, 0.732, 13.9, 11.6, 9.9, 8.7, 174, 217},
                          {5, 1.764, 1.263, 0.915, 17.4, 14.5, 12.4, 10.9, 217, 271},
                          {6, 2.117, 1.516, 1.099, 20.8, 17.4, 14.9, 13.0, 261, 326}};

TEST(Legibility, WorkedTableOfSizesAndDistancesComesOut) {
  for (const Row& row : k_rows) {
    SCOPED_TRACE(row.size_pt);
    const Legibility at_350 = judge_legibility(row.size_pt, k_cap_em, k_x_em, 350);
    EXPECT_NEAR(at_350.body_mm, row.body_mm, 0.0006);
    EXPECT_NEAR(at_350.cap_mm, row.cap_mm, 0.0006);
    EXPECT_NEAR(at_350.x_mm, row.x_mm, 0.0006);
    EXPECT_NEAR(at_350.cap_arcmin, row.at_350, 0.051);
    EXPECT_NEAR(judge_legibility(row.size_pt, k_cap_em, k_x_em, 250).cap_arcmin, row.at_250, 0.051);
    EXPECT_NEAR(judge_legibility(row.size_pt, k_cap_em, k_x_em, 300).cap_arcmin, row.at_300, 0.051);
    EXPECT_NEAR(judge_legibility(row.size_pt, k_cap_em, k_x_em, 400).cap_arcmin, row.at_400, 0.051);
    EXPECT_NEAR(at_350.distance_at_preferred_mm, row.reach_20, 0.6);
    EXPECT_NEAR(at_350.distance_at_least_mm, row.reach_16, 0.6);
  }
}

// ISO 9241-3: 16 minutes of arc at least, 20 to 22 preferred; heights by the same formula.
TEST(Legibility, HeightsForTheLimitsComeOut) {
  EXPECT_NEAR(height_for(16, 250), 1.164, 0.0006);
  EXPECT_NEAR(height_for(16, 350), 1.629, 0.0006);
  EXPECT_NEAR(height_for(16, 400), 1.862, 0.0006);
  EXPECT_NEAR(height_for(16, 500), 2.327, 0.0006);
  EXPECT_NEAR(height_for(20, 250), 1.454, 0.0006);
  EXPECT_NEAR(height_for(20, 500), 2.909, 0.0006);
}

// FAA human-factors guidance: a height of 1/200 of the distance is 17.2 minutes of arc.
TEST(Legibility, OneTwoHundredthOfTheDistanceIsAboutSeventeenMinutes) { EXPECT_NEAR(arcmin_of(1, 200), 17.2, 0.02); }

TEST(Legibility, LensIsAskedForOnlyWhenCapitalsFallUnderTheLeastAngle) {
  EXPECT_EQ(judge_legibility(8, k_cap_em, k_x_em, 350).lens_power, 1);    // 19.8'
  EXPECT_EQ(judge_legibility(5, k_cap_em, k_x_em, 350).lens_power, 1.5);  // 12.4'
  EXPECT_EQ(judge_legibility(4, k_cap_em, k_x_em, 350).lens_power, 1.5);
  EXPECT_EQ(judge_legibility(3, k_cap_em, k_x_em, 350).lens_power, 2.0);
}

}  // namespace
}  // namespace sherdmark
