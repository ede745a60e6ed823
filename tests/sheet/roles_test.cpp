// Every role on its stock, judged from outside: what poppler finds on the page, and what zbarimg and ZXing read after
// printing with toner spread and in a photograph through a bag.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "sheet/printed_and_seen.h"
#include "sheet/raster.h"
#include "sheet/role_samples.h"
#include "sheet/sheet_samples.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "sherdmark/sheet/canvas.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

using namespace testing;  // NOLINT(google-build-using-namespace): the tests' own

struct PrintedLabel {
  PlacedLabel label;
  GreyPicture picture;  // the first label as poppler draws it at 600 dpi, with toner spread
};

PrintedLabel printed(const HouseStandard& standard, LabelRole role, const ScratchFolder& scratch) {
  const std::string name{to_text(role)};
  const MadeSheets sheets = make_carrier_sheets(standard, role_samples(standard, role, 1), scratch / (name + ".pdf"));
  PrintedLabel made{sheets.placements.labels.front(), GreyPicture{}};
  const auto px = [](double mm) { return std::to_string(std::lround(mm_to_dots(mm, 600))); };
  const std::string root = (scratch / name).string();
  const RunResult drawn =
      run({"pdftoppm", "-r", "600", "-gray", "-l", "1", "-singlefile", "-x", px(made.label.x_mm), "-y",
           px(made.label.y_mm), "-W", px(made.label.w_mm), "-H", px(made.label.h_mm), sheets.pdf.string(), root});
  EXPECT_EQ(drawn.exit_code, 0) << drawn.err;
  made.picture = with_toner_spread(read_pgm(root + ".pgm"));
  return made;
}

class Roles : public ::testing::TestWithParam<std::string> {
 protected:
  HouseStandard standard_ = sample_standard(GetParam());
  ScratchFolder scratch_;
};

INSTANTIATE_TEST_SUITE_P(Samples, Roles, ::testing::ValuesIn(sample_standard_names()),
                         [](const auto& row) { return row.param; });

TEST_P(Roles, two_readers_read_every_code_after_toner_spread_and_in_a_photograph_through_the_bag) {
  for (const LabelRole role : carrier_roles()) {
    const std::string name{to_text(role)};
    const PrintedLabel made = printed(standard_, role, scratch_);
    const auto file = scratch_ / "label.pgm";
    write_pgm(made.picture.view(), file);
    const std::vector<std::string> expected{made.label.code->text};
    EXPECT_EQ(zbar_texts(file), expected) << name << ", printed";
    EXPECT_EQ(zxing_texts(file, "QRCode"), expected) << name << ", printed";
    write_pgm(photographed_through_a_bag(made.picture).view(), file);
    EXPECT_EQ(zbar_texts(file), expected) << name << ", photographed";
    EXPECT_EQ(zxing_texts(file, "QRCode"), expected) << name << ", photographed";
  }
}

TEST_P(Roles, poppler_finds_number_caption_and_repository_of_every_role_as_text_in_one_family_of_type) {
  for (const LabelRole role : carrier_roles()) {
    const std::string name{to_text(role)};
    const auto labels = role_samples(standard_, role, 1);
    const MadeSheets sheets = make_carrier_sheets(standard_, labels, scratch_ / (name + ".pdf"));
    const std::string text = run({"pdftotext", "-layout", sheets.pdf.string(), "-"}).out;
    EXPECT_NE(text.find(labels[0].number), std::string::npos) << name << '\n' << text;
    EXPECT_NE(text.find(standard_.repository), std::string::npos) << name << '\n' << text;
    for (const CarrierField& field : labels[0].fields)
      if (!field.text.empty() && field.text.size() < 20) {
        EXPECT_NE(text.find(field.text), std::string::npos) << name << ": " << field.text << '\n' << text;
      }
    const auto fonts = split(run({"pdffonts", sheets.pdf.string()}).out, '\n');
    for (std::size_t i = 2; i < fonts.size(); ++i)
      if (!fonts[i].empty()) {
        EXPECT_NE(fonts[i].find("DejaVuSans"), std::string::npos) << name << ": " << fonts[i];
      }
  }
}

// Counted in the raster: what lies in the zone is paper, all of it.
int ink_in(const GreyPicture& label, double dpi, const RectMm& zone) {
  const auto px = [dpi](double mm) { return static_cast<int>(std::lround(mm_to_dots(mm, dpi))); };
  int ink = 0;
  for (int y = std::max(0, px(zone.y_mm)); y < std::min(label.height_px(), px(zone.y_mm + zone.h_mm)); ++y)
    for (int x = std::max(0, px(zone.x_mm)); x < std::min(label.width_px(), px(zone.x_mm + zone.w_mm)); ++x)
      ink += label.row(y)[x] < 200 ? 1 : 0;
  return ink;
}

TEST_P(Roles, nothing_is_printed_on_holes_folds_and_the_tolerance_and_no_quiet_zone_reaches_into_them) {
  int zones_seen = 0;
  for (const LabelRole role : carrier_roles()) {
    const SheetStock& stock = standard_.stock_of(role);
    if (stock.zones.empty() && stock.tolerance_mm <= 0) continue;
    const auto [label, seen] = printed(standard_, role, scratch_);
    EXPECT_GT(ink_in(seen, 600, {0, 0, label.w_mm, label.h_mm}), 10'000) << "an empty label proves nothing";
    const double slack = stock.tolerance_mm - 0.1;
    std::vector<RectMm> blank{{0, 0, label.w_mm, slack},
                              {0, label.h_mm - slack, label.w_mm, slack},
                              {0, 0, slack, label.h_mm},
                              {label.w_mm - slack, 0, slack, label.h_mm}};
    for (const StockZone& zone : stock.zones) blank.push_back({zone.x_mm, zone.y_mm, zone.w_mm, zone.h_mm});
    for (const RectMm& zone : blank) {
      EXPECT_EQ(ink_in(seen, 600, zone), 0) << to_text(role) << " at " << zone.x_mm << ", " << zone.y_mm;
      const double left = label.code->x_mm - label.x_mm, top = label.code->y_mm - label.y_mm;
      const double size = label.code->size_mm;
      const bool apart = zone.x_mm >= left + size - 0.05 || zone.x_mm + zone.w_mm <= left + 0.05 ||
                         zone.y_mm >= top + size - 0.05 || zone.y_mm + zone.h_mm <= top + 0.05;
      EXPECT_TRUE(apart) << to_text(role);
      ++zones_seen;
    }
  }
  EXPECT_GE(zones_seen, 4);
}

// Rows of the page that are dark for at least 15 mm: the rules. Their distance is measured in the raster.
TEST_P(Roles, field_tags_have_lines_to_write_on_at_least_7_mm_high) {
  const auto [label, seen] = printed(standard_, LabelRole::field_tag, scratch_);
  std::vector<double> rules;
  const int least = static_cast<int>(mm_to_dots(15, 600));
  for (int y = 0; y < seen.height_px(); ++y) {
    int longest = 0, run_length = 0;
    for (int x = 0; x < seen.width_px(); ++x) {
      run_length = seen.row(y)[x] < 128 ? run_length + 1 : 0;
      longest = std::max(longest, run_length);
    }
    const double at = dots_to_mm(y, 600);
    if (longest >= least && (rules.empty() || at - rules.back() > 1)) rules.push_back(at);
  }
  ASSERT_GE(rules.size(), 4U);
  for (std::size_t i = 1; i < rules.size(); ++i) EXPECT_GE(rules[i] - rules[i - 1], 7.0);
  // Between a caption's foot and its line nothing is printed for 7 mm: the band over the last line is blank.
  EXPECT_EQ(ink_in(seen, 600, {standard_.field_tag.inset_left_mm, rules.back() - 7.0, label.w_mm, 6.9}), 0);
}

TEST_P(Roles, a_label_whose_contents_do_not_fit_goes_on_and_loses_no_word) {
  CarrierLabelRequest whole = role_samples(standard_, LabelRole::bag, 1).front();
  std::vector<std::string> things;
  for (int i = 1; i <= 60; ++i) things.push_back(fmt::format("{} sherd{:02}", whole.number, i));
  for (CarrierField& field : whole.fields)
    if (field.name == "object") field.text = join(things, "; ");
  EXPECT_THROW((void)lay_out_carrier_labels({whole}, standard_, "R1"), Error);
  const auto parts = continue_label(whole, standard_);
  ASSERT_GE(parts.size(), 2U);
  const MadeSheets sheets = make_carrier_sheets(standard_, parts, scratch_ / "long.pdf");
  const std::string text = run({"pdftotext", "-raw", sheets.pdf.string(), "-"}).out;
  for (std::size_t i = 0; i < parts.size(); ++i)
    EXPECT_NE(text.find(fmt::format("label {} of {}", i + 1, parts.size())), std::string::npos) << text;
  std::size_t before = 0;
  for (int i = 1; i <= 60; ++i) {
    const std::size_t at = text.find(fmt::format("sherd{:02}", i));
    ASSERT_NE(at, std::string::npos) << i;
    EXPECT_GT(at, before) << i;
    before = at;
  }
  EXPECT_EQ(continue_label(role_samples(standard_, LabelRole::bag, 1).front(), standard_).size(), 1U);
}

TEST_P(Roles, what_does_not_fit_beside_the_hole_is_refused_by_how_much) {
  HouseStandard narrow = standard_;
  narrow.tag.inset_left_mm = narrow.tag.width_mm - 22;
  try {
    (void)lay_out_carrier_labels(role_samples(narrow, LabelRole::tag, 1), narrow, "R1");
    FAIL() << "a tag of 22 mm was accepted";
  } catch (const Error& error) {
    EXPECT_NE(std::string{error.what()}.find("mm"), std::string::npos) << error.what();
  }
}

TEST(RolesOnStock, labels_of_a_roll_and_a_strip_have_a_page_each_and_die_cut_ones_lie_on_their_grid) {
  const HouseStandard ostervane = sample_standard("ostervane");
  const Placements roll = lay_out_carrier_labels(role_samples(ostervane, LabelRole::field_tag, 3), ostervane, "R1");
  EXPECT_EQ(roll.pages, 3);
  EXPECT_NEAR(roll.page_width_mm, 100, 0.05);
  EXPECT_NEAR(roll.page_height_mm, 72, 0.05);
  const Placements boxes = lay_out_carrier_labels(role_samples(ostervane, LabelRole::box, 9), ostervane, "R1");
  EXPECT_EQ(boxes.pages, 2);
  EXPECT_NEAR(boxes.labels[1].x_mm, 5 + 101, 1e-9);
  EXPECT_NEAR(boxes.labels[2].y_mm, 13 + 68, 1e-9);
  EXPECT_NEAR(boxes.labels[8].y_mm, 13, 1e-9);
  const HouseStandard quillow = sample_standard("quillow_ferry");
  const Placements strip = lay_out_carrier_labels(role_samples(quillow, LabelRole::shelf, 2), quillow, "R1");
  EXPECT_EQ(strip.pages, 2);
  EXPECT_NEAR(strip.page_height_mm, 38.1, 0.05);
}

}  // namespace
}  // namespace sherdmark
