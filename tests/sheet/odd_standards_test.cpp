// Sheets by standards that nobody tried before: small paper, long names, numbers of many characters. Whatever is drawn
// stays where it belongs, or is refused in words.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "sheet/carrier_label.h"
#include "sheet/page_frame.h"
#include "sheet/role_samples.h"
#include "sheet/sheet_samples.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/units.h"
#include "sherdmark/sheet/calibration.h"
#include "sherdmark/sheet/canvas.h"

namespace sherdmark {
namespace {

using namespace testing;  // NOLINT(google-build-using-namespace): the tests' own

constexpr double k_dpi = 150;

bool is_blank(const GreyPicture& page, const RectMm& part) {
  const auto px = [](double mm) { return static_cast<int>(std::lround(mm_to_dots(mm, k_dpi))); };
  const GreyView view = page.view().crop(px(part.x_mm), px(part.y_mm), px(part.w_mm), px(part.h_mm));
  for (int y = 0; y < view.height_px; ++y)
    for (int x = 0; x < view.width_px; ++x)
      if (view.at(x, y) < 200) return false;
  return true;
}

void expect_clear_margins(const GreyPicture& page, const SheetStock& stock, const std::string& what) {
  const double w = stock.width_mm, h = stock.height_mm;
  constexpr double k_pixel_mm = 0.2;
  EXPECT_TRUE(is_blank(page, {0, 0, stock.margin_left_mm - k_pixel_mm, h})) << what << ", left";
  EXPECT_TRUE(is_blank(page, {w - stock.margin_right_mm + k_pixel_mm, 0, stock.margin_right_mm, h}))
      << what << ", right";
  EXPECT_TRUE(is_blank(page, {0, 0, w, stock.margin_top_mm - k_pixel_mm})) << what << ", head";
  EXPECT_TRUE(is_blank(page, {0, h - stock.margin_bottom_mm + k_pixel_mm, w, stock.margin_bottom_mm}))
      << what << ", foot";
}

std::string refusal(const auto& act) {
  try {
    act();
  } catch (const Error& error) {
    return error.what();
  }
  return "no error";
}

TEST(OddStandards, on_small_paper_head_scale_bar_and_words_stay_within_the_margins) {
  struct Row {
    std::string name;
    double width_mm, height_mm;
  };
  for (const Row& row : {Row{"A5", 148, 210}, Row{"A5 across", 210, 148}, Row{"A6", 105, 148}, Row{"B5", 176, 250}}) {
    HouseStandard standard = sample_standard("ostervane");
    for (SheetStock* stock : {&standard.artifact_stock, &standard.carrier_stock}) {
      stock->name = row.name;
      stock->width_mm = row.width_mm;
      stock->height_mm = row.height_mm;
    }
    standard.bag.width_mm = 85;
    standard.bag.height_mm = 60;
    auto bags = role_samples(standard, LabelRole::bag, 1);
    bags[0].fields = {{"bag", "B-7KM-00001"}, {"object", "bowl rim sherd"}, {"repository", standard.repository}};
    const Placements bag_sheet = lay_out_carrier_labels(bags, standard, "R1");
    expect_clear_margins(draw_page(bag_sheet, bags, sample_header(standard, LabelRole::bag), standard, 1, k_dpi),
                         standard.carrier_stock, row.name + ", bags");
    SheetHeader header = sample_header(standard, LabelRole::artifact);
    header.cautions.resize(1);
    const Placements artifacts = lay_out_artifact_labels(sample_artifacts(standard), standard, "R1");
    for (const int page : {1, artifacts.pages + 1})
      expect_clear_margins(draw_page(artifacts, {}, header, standard, page, k_dpi), standard.artifact_stock,
                           row.name + ", artifacts");
  }
}

TEST(OddStandards, a_sheet_too_narrow_for_its_title_is_refused) {
  HouseStandard standard = sample_standard("ostervane");
  standard.artifact_stock.width_mm = 62;
  const Placements artifacts = lay_out_artifact_labels({artifact_request(standard, "2031-114-12")}, standard, "R1");
  const std::string said =
      refusal([&] { (void)draw_page(artifacts, {}, sample_header(standard, LabelRole::artifact), standard, 1, 30); });
  EXPECT_NE(said.find("\"Artifact labels\" and \"page 1 of 1\", needs"), std::string::npos) << said;
}

TEST(OddStandards, a_calibration_page_fits_its_paper_or_is_refused) {
  SheetStock stock = sample_standard("ostervane").artifact_stock;
  stock.name = "A5";
  stock.width_mm = 148;
  stock.height_mm = 210;
  const std::string small = refusal([&] { (void)draw_calibration_page(stock, 600, "DejaVu Sans", 30); });
  EXPECT_NE(small.find("\"A5\" is 148.0 × 210.0 mm"), std::string::npos) << small;
  stock.name = "small";
  stock.width_mm = 205;
  stock.height_mm = 200;
  expect_clear_margins(draw_calibration_page(stock, 600, "DejaVu Sans", k_dpi), stock, "smallest");
  stock.name = std::string(900, 'n');
  const std::string named = refusal([&] { (void)draw_calibration_page(stock, 600, "DejaVu Sans", 30); });
  EXPECT_NE(named.find("mm too high"), std::string::npos) << named;
}

// Standards whose lots have long numbers, and runs of thousands of strips.
TEST(OddStandards, what_the_head_of_a_strip_says_ends_before_its_first_label) {
  HouseStandard standard = sample_standard("ostervane");
  const auto part = [](std::string name, NumberLevel level, std::string separator, int length) {
    SchemePart one;
    one.name = std::move(name);
    one.kind = PartKind::letters;
    one.level = level;
    one.separator = std::move(separator);
    one.shortest = one.longest = length;
    one.alphabet = "ABCDEFGHJKLMNPQRSTUVWXYZ";
    return one;
  };
  const std::string lot(24, 'W');
  standard.schemes.emplace_back(
      "long", std::vector<SchemePart>{part("lot", NumberLevel::lot, "", 24), part("item", NumberLevel::item, "-", 2)});
  standard.default_scheme = "long";
  standard.artifact.check_character = false;
  standard.artifact.widest_mm = 60;
  const Placements sheet = lay_out_artifact_labels(
      {artifact_request(standard, lot + "-AB", 3), artifact_request(standard, lot + "-AC")}, standard, "R1");
  const GreyPicture page = draw_page(sheet, {}, sample_header(standard, LabelRole::artifact), standard, 1, k_dpi);
  for (const PlacedLabel& label : sheet.labels) {
    if (label.x_mm > sheet.labels[0].x_mm + 0.01) continue;  // not the first of its strip
    const double tolerance = standard.artifact.trim_tolerance_mm;
    EXPECT_TRUE(is_blank(page, {label.x_mm - 0.8, label.y_mm + 0.2, 0.8 + tolerance - 0.2, label.h_mm - 0.4}))
        << label.x_mm << ", " << label.y_mm;
  }
}

struct Box {
  double left, top, right, bottom;
};

TEST(OddStandards, the_repository_stays_clear_of_serial_code_and_number_or_is_refused) {
  for (const std::string& repository :
       {std::string{"Depot"}, std::string{"Ostervane District Finds Depot and Museum of the Lower Ferry"},
        std::string(70, 'W'), std::string(400, 'W')})
    for (const double width : {48.0, 52.0, 56.0, 60.0, 70.0, 95.0})
      for (const double height : {30.0, 42.0, 60.0}) {
        HouseStandard standard = sample_standard("ostervane");
        standard.repository = repository;
        standard.tag.width_mm = width;
        standard.tag.height_mm = height;
        standard.tag.number_pt = 12;
        CarrierLabelRequest request = role_samples(standard, LabelRole::tag, 1).front();
        request.number = "2031-1-1";
        request.fields = {{"bag", "B-7KM-00001"}, {"repository", repository}};
        CarrierLabelDrawing drawing;
        const CarrierLabelMaker maker{standard};
        try {
          drawing = maker.compose(request);
        } catch (const Error& error) {
          EXPECT_EQ(error.exit_code(), 3) << error.what();
          continue;
        }
        const RunningText text;
        std::vector<Box> boxes;
        for (const CarrierText& one : drawing.texts) {
          const TextSize size = text.measure(one.style, one.text, one.width_mm);
          boxes.push_back({one.top_left.x_mm, one.top_left.y_mm + 0.3, one.top_left.x_mm + size.width_mm,
                           one.top_left.y_mm + size.height_mm - 0.3});
        }
        boxes.push_back({drawing.code_at.x_mm, drawing.code_at.y_mm, drawing.code_at.x_mm + drawing.code_size_mm,
                         drawing.code_at.y_mm + drawing.code_size_mm});
        for (std::size_t a = 0; a < boxes.size(); ++a)
          for (std::size_t b = a + 1; b < boxes.size(); ++b)
            EXPECT_FALSE(boxes[a].left < boxes[b].right - 0.05 && boxes[b].left < boxes[a].right - 0.05 &&
                         boxes[a].top < boxes[b].bottom && boxes[b].top < boxes[a].bottom)
                << width << " × " << height << ", " << repository.size() << " characters: " << a << " and " << b;
      }
}

TEST(OddStandards, a_line_from_right_to_left_stands_below_its_caption_too) {
  for (const bool right_aligned : {false, true}) {
    TextStyle style{.family = "DejaVu Sans", .size_pt = 12};
    style.right_aligned = right_aligned;
    const GreyPicture page = draw_grey({100, 40}, PrinterDescription{}, k_dpi, 1, [&](Canvas& canvas, int) {
      canvas.paragraph(style, "\u05E7\u05E2\u05E8\u05D4", {10, 10}, 80);
    });
    EXPECT_EQ(is_blank(page, {0, 0, 50, 40}), right_aligned);
    EXPECT_EQ(is_blank(page, {50, 0, 50, 40}), !right_aligned);
  }
}

TEST(OddStandards, a_character_that_the_font_lacks_is_named_with_its_label) {
  const HouseStandard standard = sample_standard("ostervane");
  auto labels = role_samples(standard, LabelRole::bag, 2);
  labels[1].fields.push_back({"object", std::string(200, 'x') + " \U00013080"});
  const std::string said = refusal([&] { (void)lay_out_carrier_labels(labels, standard, "R1"); });
  EXPECT_NE(said.find("bag " + labels[1].bag + " (" + labels[1].number + "): "), std::string::npos) << said;
  EXPECT_NE(said.find("(U+13080)"), std::string::npos) << said;
  EXPECT_LT(said.size(), 400U) << said;
}

}  // namespace
}  // namespace sherdmark
