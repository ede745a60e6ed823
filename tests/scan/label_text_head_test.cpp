// The head of a bag label or tag whose code is not in the picture, and lines that look like its own.
#include <gtest/gtest.h>

#include <algorithm>

#include "sherdmark/base/files.h"
#include "sherdmark/base/units.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/scan/carrier_head.h"
#include "sherdmark/sheet/sheets.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

constexpr double k_dpi = 300;
constexpr double k_px_per_mm = k_dpi / 25.4;

int px(double mm) { return static_cast<int>(mm * k_px_per_mm + 0.5); }

class CarrierHead : public ::testing::TestWithParam<const char*> {
 protected:
  // What lies left of the label's code, on grey, with room all round.
  GreyPicture left_of_the_code(LabelRole role, const std::string& number) const {
    CarrierLabelRequest request;
    request.role = role;
    request.bag = "BTST00001";
    request.number = number;
    request.serial = "TST00001";
    request.code_text = write_link_code({"K7QD", role, request.bag, number, false, 1, request.serial, 1});
    request.fields = {{"bag", request.bag}, {"unit", "N10E20"}, {"object", "bowl, rim"}, {"material", "ceramic"}};
    const Placements placed = lay_out_carrier_labels({request}, standard_, "R1");
    const GreyPicture page = draw_page(placed, {request}, {}, standard_, 1, k_dpi);
    const PlacedLabel& label = placed.labels.front();
    const GreyView part =
        page.view().crop(px(label.x_mm), px(label.y_mm), px(label.code->x_mm - label.x_mm), px(label.h_mm));
    GreyPicture picture{part.width_px + 200, part.height_px + 200, 120};
    for (int y = 0; y < part.height_px; ++y) std::copy_n(part.row(y), part.width_px, picture.row(100 + y) + 100);
    return picture;
  }

  [[nodiscard]] bool has_head(const GreyPicture& picture) const {
    const auto seen = reader_.search(picture.view(), {.shown = {.px_per_mm = {k_px_per_mm}}});
    return std::any_of(seen.begin(), seen.end(), is_carrier_head);
  }

  static GreyPicture turned_round(const GreyPicture& picture) {
    GreyPicture turned{picture.width_px(), picture.height_px()};
    for (int y = 0; y < picture.height_px(); ++y)
      std::reverse_copy(picture.view().row(y), picture.view().row(y) + picture.width_px(),
                        turned.row(picture.height_px() - 1 - y));
    return turned;
  }

  HouseStandard standard_ = parse_house_standard(
      read_text(real_file_system(), testing::sample(std::string{"standards/"} + GetParam() + ".toml")), GetParam());
  LabelTextReader reader_{standard_};
  std::string number_ = std::string{GetParam()} == "ostervane" ? "2031-114-12" : "16ZQ5/12.3";
};

TEST_P(CarrierHead, is_seen_without_its_code_whichever_way_up) {
  for (const LabelRole role : {LabelRole::bag, LabelRole::tag})
    for (const std::string& number : {number_, std::string{"BTST00001"}}) {
      const GreyPicture picture = left_of_the_code(role, number);
      EXPECT_TRUE(has_head(picture)) << to_text(role) << " " << number;
      EXPECT_TRUE(has_head(turned_round(picture))) << to_text(role) << " " << number;
    }
}

// The line under the label's large print, and what a change to it makes of it.
TEST_P(CarrierHead, is_no_line_with_ticks_no_thick_one_and_none_with_small_print_over_it) {
  const GreyPicture whole = left_of_the_code(LabelRole::tag, number_);
  int line_y = 0;  // the lowest row that is dark nearly all along
  for (int y = 0; y < whole.height_px(); ++y) {
    const auto row = whole.view().row(y);
    const auto dark =
        std::count_if(row + 100, row + whole.width_px() - 100, [](std::uint8_t light) { return light < 100; });
    if (dark > (whole.width_px() - 200) * 3 / 4) line_y = y;
  }
  ASSERT_GT(line_y, 0);
  const auto changed = [&](int from_y, int to_y, int every_px, std::uint8_t light) {
    GreyPicture picture = whole;
    for (int y = from_y; y < to_y; ++y)
      for (int x = 140; x < picture.width_px() - 110; x += every_px) picture.row(y)[x] = light;
    return picture;
  };
  EXPECT_TRUE(has_head(whole));
  EXPECT_FALSE(has_head(changed(line_y - 12, line_y, 12, 20))) << "ticks";
  EXPECT_FALSE(has_head(changed(line_y, line_y + 4, 1, 20))) << "thrice as thick";
  EXPECT_FALSE(has_head(changed(line_y - px(7), line_y - 4, 1, 250))) << "no large print";

  // An artifact label's rule near the edge of its paper, seen from its foot: beyond the paper only what it is glued to.
  GreyPicture glued = whole;
  const int right = 134 + px(9);  // of the line, cut short
  for (int y = 0; y < glued.height_px(); ++y) {
    if (y < line_y - px(0.8)) std::fill_n(glued.row(y), right, std::uint8_t{60});
    std::fill(glued.row(y) + right, glued.row(y) + glued.width_px(), std::uint8_t{250});
  }
  EXPECT_FALSE(has_head(glued)) << "glued to something dark";
}

INSTANTIATE_TEST_SUITE_P(LabelText, CarrierHead, ::testing::Values("quillow_ferry", "ostervane"));

}  // namespace
}  // namespace sherdmark
