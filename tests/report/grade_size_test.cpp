// A sheet that was printed "fit to page" is told from one at true size, by its codes in a flatbed scan.
#include <gtest/gtest.h>

#include "sherdmark/base/units.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/report/grade_report.h"
#include "sherdmark/sheet/sheets.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

using namespace testing;  // NOLINT(google-build-using-namespace): the tests' own

constexpr double k_scan_dpi = 600;

struct Tag {
  HouseStandard standard =
      parse_house_standard(read_text(real_file_system(), sample("standards/quillow_ferry.toml")), "quillow_ferry.toml");
  CarrierLabelRequest request{};
  Placements placements{};

  Tag() {
    request.role = LabelRole::tag;
    request.bag = "B7KM00001";
    request.number = "16ZQ5/12.3";
    request.serial = "7KM00001";
    request.code_text = write_link_code({.collection_key = "K7QD",
                                         .role = LabelRole::tag,
                                         .subject = request.bag,
                                         .number = request.number,
                                         .number_is_opaque = false,
                                         .ordinal = 1,
                                         .serial = request.serial,
                                         .revision = 1});
    placements = lay_out_carrier_labels({request}, standard, "R1");
  }

  // The tag as a flatbed at 600 dpi sees it, printed at `scale` of its true size.
  [[nodiscard]] GradeResult scanned(double scale) const {
    const double dpi = k_scan_dpi * scale;
    const GreyPicture page = draw_page(placements, {request}, {}, standard, 1, dpi);
    const PlacedLabel& label = placements.labels.front();
    const auto px = [&](double mm) { return static_cast<int>(mm_to_dots(mm, dpi)); };
    const GreyView view = page.view().crop(px(label.x_mm), px(label.y_mm), px(label.w_mm), px(label.h_mm));
    GradeResult result{"scan.png", 1, grade_codes(view, read_codes(view)), {}};
    for (const PrintGrade& grade : result.grades)
      result.sizes.push_back(printed_size(grade, k_scan_dpi, std::span{&placements, 1}));
    return result;
  }
};

TEST(GradeSize, comes_back_within_half_a_percent_and_only_a_false_one_is_told) {
  const Tag tag;
  for (const double scale : {0.94, 0.97, 1.0, 1.04}) {
    const GradeResult result = tag.scanned(scale);
    ASSERT_EQ(result.grades.size(), 1U) << scale;
    ASSERT_TRUE(result.sizes[0]);
    EXPECT_NEAR(result.sizes[0]->share_off(), scale - 1, 0.005);
    const std::string text = grade_text(std::span{&result, 1});
    EXPECT_EQ(text.find("smaller than true size") != std::string::npos, scale < 0.985) << text;
    EXPECT_EQ(text.find("larger than true size") != std::string::npos, scale > 1.015) << text;
    EXPECT_NE(grade_json(std::span{&result, 1}).find("\"printed_module_mm\""), std::string::npos);
  }
}

TEST(GradeSize, a_code_that_stands_on_no_named_sheet_has_none) {
  const Tag tag;
  GradeResult result = tag.scanned(1.0);
  ASSERT_EQ(result.grades.size(), 1U);
  result.grades[0].text += "X";
  EXPECT_FALSE(printed_size(result.grades[0], k_scan_dpi, std::span{&tag.placements, 1}));
  EXPECT_FALSE(printed_size(result.grades[0], k_scan_dpi, {}));
}

}  // namespace
}  // namespace sherdmark
