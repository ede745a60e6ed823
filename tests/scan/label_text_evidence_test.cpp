// A rule that gloss made pale for the most part of its length is a rule still. Drawn here, pixel by pixel.
#include "scan/label_text_evidence.h"

#include <gtest/gtest.h>

#include <cmath>

namespace sherdmark::label_text {
namespace {

constexpr double k_longest_em = 10;
constexpr int k_left = 40, k_right = 250, k_rule_y = 120;

LabelLook a_look() {
  LabelLook look;
  look.rule_em = 0.1;
  look.baseline_em = 0.24;
  look.margin_em = 0.28;
  look.longest_line = 12;
  return look;
}

// Rule and strokes of letters over it; of the ink between the ends `middle_share` is left.
GreyPicture label(double middle_share) {
  GreyPicture picture{300, 200, 215};
  for (int y = 0; y < 200; ++y)
    for (int x = k_left; x < k_right; ++x) {
      const bool rule = y >= k_rule_y && y < k_rule_y + 3;
      const bool letters = y > k_rule_y - 30 && y < k_rule_y - 7 && x % 14 < 4;
      if (!rule && !letters) continue;
      const double along = static_cast<double>(x - k_left) / (k_right - k_left);
      const double share = along < 0.22 || along > 0.9 ? 1 : middle_share;
      picture.row(y)[x] = static_cast<std::uint8_t>(215 - 172 * share);
    }
  return picture;
}

std::size_t signs(double middle_share) {
  const GreyPicture picture = label(middle_share);
  const Pyramid pyramid{picture.view(), 1};
  RuleCandidate rule;
  rule.from = {k_left, k_rule_y + 1.5};
  rule.to = {k_right, k_rule_y + 1.5};
  rule.scale_px = 1;
  return look_for_label(pyramid, rule, a_look(), k_longest_em).size();
}

TEST(LabelTextEvidence, a_rule_is_seen_though_gloss_left_little_of_its_ink) {
  EXPECT_EQ(signs(1), 1U);
  EXPECT_EQ(signs(0.6), 1U);
  EXPECT_EQ(signs(0.3), 1U) << "so thin it would be too long for a label";
}

}  // namespace
}  // namespace sherdmark::label_text
