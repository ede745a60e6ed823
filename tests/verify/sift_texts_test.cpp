#include "verify/sift_texts.h"

#include <gtest/gtest.h>

#include <utility>

#include "sherdmark/base/files.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/scan/carrier_head.h"
#include "sherdmark/sheet/carrier_code_place.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

constexpr double k_px_per_mm = 10;

// A bag label lying square in a grey picture at 10 pixels per mm, its top left corner at (100, 100), and room beside
// it.
class SiftTexts : public ::testing::Test {
 protected:
  SiftTexts() : pixels_(2000, 1200, 110) {
    const CarrierDesign& design = standard_.bag;
    paint(100, 100, design.width_mm * k_px_per_mm, design.height_mm * k_px_per_mm, 220);
    CodeReading code;
    code.format = SymbolFormat::qr;
    code.text = write_link_code({"K7QD", LabelRole::bag, "BABC00001", "2031-114-12", false, 1, "ABC00007", 1});
    const SymbolMatrix symbol = make_qr(code.text, ErrorLevel::q);
    const auto place = place_carrier_code(symbol, design, standard_.printer.dpi).value();
    const double quiet = symbol.quiet_zone_modules * place.size.module_mm;
    const double left = 100 + (place.x_mm + quiet) * k_px_per_mm, top = 100 + (place.y_mm + quiet) * k_px_per_mm;
    const double side = symbol.width_modules * place.size.module_mm * k_px_per_mm;
    code.corners = box(left, top, side, side);
    paint(left, top, side / 2, side, 25);
    picture_.image = "photo.jpg";
    picture_.codes.push_back(code);
  }

  static Corners box(double x, double y, double w, double h) {
    return {PointF{x, y}, PointF{x + w, y}, PointF{x + w, y + h}, PointF{x, y + h}};
  }

  void paint(double x, double y, double w, double h, std::uint8_t grey) {
    for (int row = static_cast<int>(y); row < static_cast<int>(y + h); ++row)
      for (int column = static_cast<int>(x); column < static_cast<int>(x + w); ++column)
        pixels_.row(row)[column] = grey;
  }

  // Light paper with a quarter of it inked.
  void paint_print(const Corners& c) {
    const double w = c[1].x - c[0].x, h = c[3].y - c[0].y;
    paint(c[0].x, c[0].y, w, h, 215);
    paint(c[0].x, c[0].y + h / 2, w, h / 4, 40);
  }

  void add(bool sure, const Corners& corners, double px_per_mm = k_px_per_mm) {
    TextReading text;
    text.sure = sure;
    text.number = sure ? "2031-114-12" : "";
    text.px_per_mm = px_per_mm;
    text.corners = corners;
    picture_.texts.push_back(text);
  }

  void sift() { sift_texts(picture_, pixels_.view(), standard_); }

  // The code as it is printed, module by module.
  void paint_code() {
    const CodeReading& code = picture_.codes.front();
    const SymbolMatrix symbol = make_qr(code.text, ErrorLevel::q);
    const double module = (code.corners[1].x - code.corners[0].x) / symbol.width_modules;
    for (int y = 0; y < symbol.height_modules; ++y)
      for (int x = 0; x < symbol.width_modules; ++x)
        paint(code.corners[0].x + x * module, code.corners[0].y + y * module, module + 1, module + 1,
              symbol.is_dark(x, y) ? 25 : 220);
  }

  [[nodiscard]] std::vector<Corners> masked() const {
    return shown_by_codes(picture_.codes, pixels_.view(), standard_).masked;
  }

  HouseStandard standard_ = parse_house_standard(
      read_text(real_file_system(), testing::sample("standards/ostervane.toml")), "ostervane.toml");
  GreyPicture pixels_;
  ImageReadings picture_;
};

TEST_F(SiftTexts, labels_on_finds_stay_whether_read_surely_or_not) {
  for (const bool sure : {true, false}) {
    const Corners label = box(1300, sure ? 300 : 600, 110, 22);
    paint_print(label);
    add(sure, label);
  }
  sift();
  ASSERT_EQ(picture_.texts.size(), 2U);
  EXPECT_TRUE(picture_.texts[0].sure);
  EXPECT_FALSE(picture_.texts[1].sure);
}

TEST_F(SiftTexts, print_on_light_paper_that_was_guessed_too_large_or_small_stays_unreadable) {
  for (const double scale : {3.0, 40.0}) {
    const Corners label = box(1300, scale < 10 ? 300 : 600, 110, 22);
    paint_print(label);
    add(false, label, scale);
  }
  sift();
  EXPECT_EQ(picture_.texts.size(), 2U);
  EXPECT_TRUE(picture_.set_aside.empty());
}

TEST_F(SiftTexts, a_line_within_a_dark_bar_is_set_aside) {
  paint(1300, 900, 115, 40, 30);
  add(false, box(1302, 905, 110, 22));
  sift();
  EXPECT_TRUE(picture_.texts.empty());
  EXPECT_EQ(picture_.set_aside.size(), 1U);
}

TEST_F(SiftTexts, a_large_dark_edge_is_set_aside) {
  const Corners edge = box(1300, 900, 300, 80);
  paint(1300, 900, 300, 80, 30);
  paint(1300, 900, 300, 12, 200);
  add(false, edge, 40);
  sift();
  EXPECT_EQ(picture_.set_aside.size(), 1U);
}

TEST_F(SiftTexts, the_large_print_of_a_bag_label_is_no_artifact_label_even_when_it_reads_as_a_number) {
  const Corners number = box(150, 200, 400, 80);
  paint_print(number);
  add(true, number, 45);
  sift();
  EXPECT_TRUE(picture_.texts.empty());
}

TEST_F(SiftTexts, an_artifact_label_that_lies_on_a_bag_label_is_still_read) {
  const Corners label = box(300, 500, 110, 22);
  paint_print(label);
  add(true, label);
  sift();
  ASSERT_EQ(picture_.texts.size(), 1U);
  EXPECT_TRUE(picture_.texts[0].sure);
}

TEST_F(SiftTexts, a_label_on_a_bag_label_that_was_not_read_makes_the_set_unreadable_whatever_size_was_guessed) {
  for (const double px_per_mm : {k_px_per_mm, 4.0, 17.0, 30.0}) {
    picture_.texts.clear();
    const Corners label = box(300, 500, 110, 22);
    paint_print(label);
    add(false, label, px_per_mm);
    sift();
    EXPECT_EQ(picture_.texts.size(), 1U) << px_per_mm;
    EXPECT_TRUE(picture_.set_aside.empty()) << px_per_mm;
  }
}

TEST_F(SiftTexts, a_label_that_lies_over_the_edge_of_a_bag_label_and_was_not_read_stays) {
  const Corners label = box(1000, 500, 110, 22);
  paint_print(label);
  add(false, label, 16);
  sift();
  EXPECT_EQ(picture_.texts.size(), 1U);
}

TEST_F(SiftTexts, bold_strokes_and_far_too_large_print_where_the_number_stands_are_the_carriers_own) {
  const Corners bold = box(200, 160, 64, 40);
  paint(200, 160, 64, 40, 215);
  paint(200, 170, 64, 20, 40);
  add(false, bold, 16);
  const Corners large = box(150, 140, 400, 80);
  paint_print(large);
  add(false, large, 45);
  sift();
  EXPECT_TRUE(picture_.texts.empty());
  EXPECT_TRUE(picture_.set_aside.empty());
}

TEST_F(SiftTexts, a_line_between_two_bold_letters_of_the_large_print_is_the_carriers_own) {
  const auto between_letters = [&](double letter_px) {
    picture_.texts.clear();
    paint(150, 140, 300, 80, 220);
    paint(205, 150, letter_px, 60, 40);
    add(false, box(200, 160, 64, 22), 11);
    sift();
    return picture_.texts.size();
  };
  EXPECT_EQ(between_letters(14), 0U);
  EXPECT_EQ(between_letters(2), 1U) << "strokes as thin as a label's";
  add(false, box(200, 160, 64, 22), 11);
  paint(205, 150, 14, 60, 40);
  picture_.texts.back().px_per_mm_of_rule = 11;
  sift();
  EXPECT_EQ(picture_.texts.size(), 1U) << "a label's rule, although it lies beside something bold";
}

TEST_F(SiftTexts, a_steep_short_line_over_the_large_print_is_the_leg_of_a_letter_and_a_level_or_long_one_is_not) {
  const auto stays = [&](const Corners& line) {
    picture_.texts.clear();
    add(false, line, k_px_per_mm);
    picture_.texts.back().px_per_mm_of_rule = k_px_per_mm;
    sift();
    return picture_.texts.size() == 1;
  };
  const auto upright = [](double top, double length_px) {
    return Corners{PointF{200, top}, PointF{200, top + length_px}, PointF{190, top + length_px}, PointF{190, top}};
  };
  EXPECT_FALSE(stays(upright(150, 14)));
  EXPECT_TRUE(stays(upright(150, 30)));
  EXPECT_FALSE(stays(upright(190, 14))) << "of the large print itself";
  EXPECT_TRUE(stays(upright(110, 14))) << "over all letters";
  EXPECT_TRUE(stays({PointF{530, 150}, PointF{530, 164}, PointF{520, 164}, PointF{520, 150}})) << "behind the bag id";
  EXPECT_TRUE(stays(upright(160, 14))) << "a label's rule, cut short by a cover, that reaches below the letters' feet";
  EXPECT_TRUE(stays(box(200, 150, 14, 10)));
}

TEST_F(SiftTexts, large_print_that_belongs_to_no_code_that_was_read_or_seen_has_one_that_was_not_seen) {
  const auto unseen_codes = [&](const Corners& head) {
    picture_.texts.clear();
    picture_.unseen_codes.clear();
    add(false, head, k_px_per_mm);
    picture_.texts.back().why_not = k_carrier_head;
    add(false, head, k_px_per_mm);  // seen on two levels of the picture
    picture_.texts.back().why_not = k_carrier_head;
    sift();
    EXPECT_TRUE(picture_.texts.empty());
    EXPECT_TRUE(picture_.set_aside.empty());
    return picture_.unseen_codes.size();
  };
  const Corners& code = picture_.codes.front().corners;
  EXPECT_EQ(unseen_codes(box(150, 140, 400, 125)), 0U) << "the label's own";
  EXPECT_EQ(unseen_codes({PointF{900, 224}, {500, 224}, {500, 99}, {900, 99}}), 0U)
      << "its code, over the paper's edge";
  EXPECT_EQ(unseen_codes(box(code[0].x - 1000, code[3].y - 165, 980, 125)), 0U) << "it reaches the code, wide paper";
  EXPECT_EQ(unseen_codes({PointF{300, 500}, {300, 900}, {175, 900}, {175, 500}}), 1U) << "across the label";
  EXPECT_EQ(unseen_codes(box(1300, 300, 400, 125)), 1U);
  ASSERT_EQ(picture_.unseen_codes.size(), 1U);
  EXPECT_GT(picture_.unseen_codes[0][0].x, 1700) << "the code stands behind the line's end";
}

TEST_F(SiftTexts, a_rule_that_gloss_made_paler_may_be_as_thick_as_it_looks) {
  for (const double most : {7.0, 13.0, 18.0}) {
    picture_.texts.clear();
    picture_.set_aside.clear();
    add(false, box(1300, 300, 110, 22), 6);
    picture_.texts.back().px_per_mm_of_rule = 6;
    picture_.texts.back().most_px_per_mm_of_rule = most;
    sift();
    EXPECT_EQ(picture_.texts.size(), most < k_px_per_mm ? 0U : 1U) << most;
  }
}

TEST_F(SiftTexts, what_lies_on_the_code_itself_is_the_code) {
  const Corners& code = picture_.codes.front().corners;
  add(false, box(code[0].x + 20, code[0].y + 60, 60, 22), 18);
  sift();
  EXPECT_TRUE(picture_.texts.empty());
}

TEST_F(SiftTexts, a_code_that_shows_every_module_is_left_out_of_the_search_but_for_its_edge) {
  paint_code();
  const Corners& code = picture_.codes.front().corners;
  const std::vector<Corners> areas = masked();
  ASSERT_EQ(areas.size(), 1U);
  for (const PointF& corner : areas.front()) EXPECT_TRUE(contains(code, corner));
  EXPECT_GT(areas.front()[0].x, code[0].x + 5);
  EXPECT_LT(areas.front()[2].y, code[2].y - 5);
}

// Even a slip without any print, as small as labels are.
TEST_F(SiftTexts, a_code_is_searched_whole_as_soon_as_a_slip_of_paper_reaches_the_part_that_would_be_left_out) {
  paint_code();
  const Corners inside = masked().at(0);
  int laid = 0;
  for (const auto& [width, height] : {std::pair{60, 20}, std::pair{20, 60}})
    for (double x = inside[0].x - width + 2; x < inside[1].x - 2; x += 9)
      for (double y = inside[0].y - height + 2; y < inside[2].y - 2; y += 9) {
        paint(x, y, width, height, 215);
        EXPECT_TRUE(masked().empty()) << width << " x " << height << " at " << x << ", " << y;
        paint_code();
        ++laid;
      }
  EXPECT_GT(laid, 300);
}

TEST_F(SiftTexts, an_unread_label_against_a_label_of_two_lines_is_one_of_its_own) {
  const Corners two_lines = box(1300, 300, 110, 40);
  paint_print(two_lines);
  add(true, two_lines);
  const Corners below = box(1300, 346, 110, 22);
  paint_print(below);
  add(false, below);
  picture_.texts.back().px_per_mm_of_rule = k_px_per_mm;
  sift();
  EXPECT_EQ(picture_.texts.size(), 2U);
}

TEST_F(SiftTexts, a_line_as_thick_as_a_labels_rule_stays_whatever_hides_its_text) {
  for (const double px_per_mm : {k_px_per_mm, 1.1 * k_px_per_mm, 2 * k_px_per_mm}) {
    picture_.texts.clear();
    picture_.set_aside.clear();
    add(false, box(1300, 300, 110, 22), px_per_mm);  // on the dark bench: no paper is seen
    picture_.texts.back().px_per_mm_of_rule = px_per_mm;
    sift();
    EXPECT_EQ(picture_.texts.size(), px_per_mm < 2 * k_px_per_mm ? 1U : 0U) << px_per_mm;
  }
}

TEST_F(SiftTexts, a_picture_that_was_given_up_stays_unreadable) {
  add(false, box(0, 0, 2000, 1200), 0);
  picture_.texts.back().why_not = std::string{k_gave_up} + "3 s";
  sift();
  EXPECT_EQ(picture_.texts.size(), 1U);
}

TEST_F(SiftTexts, a_sure_text_of_an_impossible_size_is_not_sure) {
  const Corners label = box(1300, 300, 500, 100);
  paint_print(label);
  add(true, label, 45);
  sift();
  ASSERT_EQ(picture_.texts.size(), 1U);
  EXPECT_FALSE(picture_.texts[0].sure);
}

TEST_F(SiftTexts, the_other_side_of_a_rule_that_was_read_is_the_same_label) {
  const Corners label = box(1300, 300, 110, 22);
  paint_print(label);
  add(true, label);
  add(false, {PointF{1410, 343}, PointF{1300, 343}, PointF{1300, 321}, PointF{1410, 321}}, 7.5);
  const Corners neighbour = box(1300, 360, 110, 22);  // a slip of its own, as near as labels are cut
  paint_print(neighbour);
  add(false, neighbour);
  sift();
  ASSERT_EQ(picture_.texts.size(), 2U);
  EXPECT_TRUE(picture_.texts[0].sure);
  EXPECT_EQ(picture_.texts[1].corners[0].y, 360);
}

TEST_F(SiftTexts, without_a_code_in_the_picture_size_decides_nothing) {
  picture_.codes.clear();
  const Corners label = box(1300, 300, 110, 22);
  paint_print(label);
  add(true, label, 45);
  sift();
  ASSERT_EQ(picture_.texts.size(), 1U);
  EXPECT_TRUE(picture_.texts[0].sure);
}

// A finder pattern of a tag's code whose label is tilted by 40 degrees, and one of an artifact label's own small code,
// each beside a label that was read: as they measure in drawn pictures.
TEST_F(SiftTexts, a_code_that_was_seen_is_a_labels_own_only_where_such_codes_are_printed_and_it_is_as_small) {
  add(true, box(1300, 300, 110, 22));
  const Corners of_a_tag = box(1415, 300, 24, 24), small = box(1280, 300, 14, 14);
  for (const MicroCode printed : {MicroCode::none, MicroCode::data_matrix, MicroCode::micro_qr}) {
    standard_.artifact.micro_code = printed;
    picture_.unread_codes = {of_a_tag, small};
    sift();
    ASSERT_FALSE(picture_.unread_codes.empty());
    EXPECT_EQ(picture_.unread_codes[0][0].x, 1415);
    EXPECT_EQ(picture_.unread_codes.size(), printed == MicroCode::micro_qr ? 1U : 2U);
  }
}

}  // namespace
}  // namespace sherdmark
