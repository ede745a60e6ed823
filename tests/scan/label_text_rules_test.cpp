// Thin dark lines that meet: each is found by itself. Drawn here, pixel by pixel.
#include "scan/label_text_rules.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "scan/label_text_pyramid.h"

namespace sherdmark::label_text {
namespace {

constexpr std::uint8_t k_paper = 215;

// A line three pixels thick, its ends and sides smoothed over one pixel.
void draw(GreyPicture& picture, const PointF& from, const PointF& to) {
  const double length = std::hypot(to.x - from.x, to.y - from.y);
  const double ux = (to.x - from.x) / length, uy = (to.y - from.y) / length;
  for (int y = 0; y < picture.height_px(); ++y)
    for (int x = 0; x < picture.width_px(); ++x) {
      const double dx = x + 0.5 - from.x, dy = y + 0.5 - from.y;
      const double along = dx * ux + dy * uy, aside = std::abs(dx * uy - dy * ux);
      const double ink = std::clamp(2 - aside, 0.0, 1.0) * std::clamp(along + 0.5, 0.0, 1.0) *
                         std::clamp(length - along + 0.5, 0.0, 1.0);
      std::uint8_t& light = picture.row(y)[x];
      light = std::min(light, static_cast<std::uint8_t>(k_paper - ink * 180));
    }
}

bool has_line(const std::vector<RuleCandidate>& rules, const PointF& from, const PointF& to) {
  const auto near = [](const PointF& a, const PointF& b) { return std::hypot(a.x - b.x, a.y - b.y) < 4; };
  return std::any_of(rules.begin(), rules.end(), [&](const RuleCandidate& rule) {
    return (near(rule.from, from) && near(rule.to, to)) || (near(rule.from, to) && near(rule.to, from));
  });
}

std::vector<RuleCandidate> rules_of(const GreyPicture& picture) {
  const LineMap lines{picture.view(), find_print(picture.view())};
  return find_rules(lines, lines.print(), 12);
}

TEST(LabelTextRules, a_rule_that_ends_where_the_edge_of_a_paper_begins_is_found_by_itself) {
  for (const double gap_px : {0.0, 2.0, 3.0}) {
    GreyPicture picture{420, 200, k_paper};
    const PointF left{40, 118}, right{150, 107};
    draw(picture, left, right);
    draw(picture, {right.x + gap_px, right.y}, {400, 113});
    EXPECT_TRUE(has_line(rules_of(picture), left, right)) << "edge behind it, gap " << gap_px;

    GreyPicture before{420, 200, k_paper};
    const PointF from{260, 104}, to{370, 92};
    draw(before, {20, 98}, {from.x - gap_px, from.y});
    draw(before, from, to);
    EXPECT_TRUE(has_line(rules_of(before), from, to)) << "edge before it, gap " << gap_px;
  }
}

// Lines are looked for before it is known which parts of the picture are not to be searched.
TEST(LabelTextRules, parts_left_out_afterwards_are_as_if_they_had_never_been_looked_at) {
  GreyPicture picture{420, 200, k_paper};
  draw(picture, {40, 60}, {150, 52});
  draw(picture, {230, 60}, {380, 66});
  draw(picture, {60, 150}, {370, 140});  // through the border between the parts
  const LineMap lines{picture.view(), find_print(picture.view())};
  BlockMask where = lines.print();
  for (int row = 0; row < where.rows; ++row)
    for (int column = where.columns / 2; column < where.columns; ++column) where.marked[where.index(column, row)] = 0;
  const std::vector<RuleCandidate> left_out = find_rules(lines, where, 12);
  const std::vector<RuleCandidate> never_seen = find_rules(LineMap{picture.view(), where}, where, 12);
  ASSERT_EQ(left_out.size(), never_seen.size());
  for (std::size_t i = 0; i < left_out.size(); ++i) {
    EXPECT_EQ(left_out[i].from.x, never_seen[i].from.x);
    EXPECT_EQ(left_out[i].to.x, never_seen[i].to.x);
    EXPECT_EQ(left_out[i].depth, never_seen[i].depth);
  }
  EXPECT_TRUE(has_line(left_out, {40, 60}, {150, 52}));
  EXPECT_FALSE(has_line(left_out, {230, 60}, {380, 66}));
  EXPECT_GT(find_rules(lines, lines.print(), 12).size(), left_out.size());
}

TEST(LabelTextRules, the_round_of_a_letter_is_no_line) {
  GreyPicture picture{200, 200, k_paper};
  constexpr int k_sides = 64;
  const auto at = [](int i) {
    const double angle = 2 * 3.14159265 * i / k_sides;
    return PointF{100 + 60 * std::cos(angle), 100 + 60 * std::sin(angle)};
  };
  for (int i = 0; i < k_sides; ++i) draw(picture, at(i), at(i + 1));
  EXPECT_TRUE(rules_of(picture).empty());
}

TEST(LabelTextRules, a_bent_rule_is_one_line) {
  GreyPicture picture{420, 200, k_paper};
  const auto at = [](int i) { return PointF{40.0 + 16 * i, 100 + 0.25 * (i - 10) * (i - 10)}; };
  for (int i = 0; i < 20; ++i) draw(picture, at(i), at(i + 1));
  EXPECT_TRUE(has_line(rules_of(picture), at(0), at(20)));
}

}  // namespace
}  // namespace sherdmark::label_text
