#include "scan/label_text_readings.h"

#include <gtest/gtest.h>

namespace sherdmark::label_text {
namespace {

// A text 100 px long and 20 high, upright or upside down, its corner nearest to the origin at (x, y).
TextReading text_at(double x, double y, bool upside_down = false) {
  TextReading text;
  text.corners = {PointF{x, y}, PointF{x + 100, y}, PointF{x + 100, y + 20}, PointF{x, y + 20}};
  if (upside_down) text.corners = {text.corners[2], text.corners[3], text.corners[0], text.corners[1]};
  return text;
}

TextReading sure_at(double x, double y, const std::string& number) {
  TextReading text = text_at(x, y);
  text.sure = true;
  text.number = number;
  return text;
}

TEST(LabelTextReadings, what_is_seen_twice_counts_once_and_the_larger_margin_stays) {
  std::vector<TextReading> readings;
  TextReading better = text_at(2, 1);
  better.margin = 0.1;
  add_reading(readings, text_at(0, 0));
  add_reading(readings, better);
  add_reading(readings, text_at(1, 1));
  ASSERT_EQ(readings.size(), 1U);
  EXPECT_EQ(readings[0].margin, 0.1);
}

TEST(LabelTextReadings, an_unread_text_between_two_rules_stays_with_both) {
  std::vector<TextReading> readings;
  add_reading(readings, text_at(0, 0));
  add_reading(readings, text_at(2, 1, true));
  EXPECT_EQ(readings.size(), 2U) << "one of them may be another label's rule";
}

TEST(LabelTextReadings, a_sure_text_takes_the_place_of_what_was_seen_there_either_way_up) {
  std::vector<TextReading> readings;
  add_reading(readings, text_at(2, 1, true));
  add_reading(readings, text_at(0, 0));
  add_reading(readings, text_at(0, 100));
  add_reading(readings, sure_at(0, 0, "16ZQ5/1.1"));
  add_reading(readings, text_at(1, 1, true));
  ASSERT_EQ(readings.size(), 2U);
  EXPECT_TRUE(readings[0].sure);
  EXPECT_FALSE(readings[1].sure);
}

TEST(LabelTextReadings, two_sure_texts_at_one_place_are_neither_and_stay_so) {
  std::vector<TextReading> readings;
  add_reading(readings, sure_at(0, 0, "16ZQ5/1.1"));
  add_reading(readings, sure_at(1, 0, "16ZQ5/1.7"));
  add_reading(readings, sure_at(0, 1, "16ZQ5/1.1"));
  ASSERT_EQ(readings.size(), 1U);
  EXPECT_FALSE(readings[0].sure);
}

TEST(LabelTextReadings, a_rule_with_its_text_on_the_other_side_is_another_labels) {
  HouseStandard standard;
  standard.artifact.rule_mm = 0.2;
  std::vector<TextReading> readings;
  add_reading(readings, text_at(0, 0));
  RuleSign sign;
  sign.thickness_px = sign.most_thickness_px = 2;
  sign.corners = text_at(1, 0).corners;
  add_sign(readings, sign, standard);
  ASSERT_EQ(readings.size(), 1U);
  EXPECT_EQ(readings[0].px_per_mm_of_rule, 10) << "the same text, now known to stand on a rule";
  sign.corners = text_at(1, 0, true).corners;
  add_sign(readings, sign, standard);
  EXPECT_EQ(readings.size(), 2U);
}

}  // namespace
}  // namespace sherdmark::label_text
