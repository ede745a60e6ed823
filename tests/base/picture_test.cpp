#include "sherdmark/base/picture.h"

#include <gtest/gtest.h>

namespace sherdmark {
namespace {

GreyPicture counting_picture() {
  GreyPicture picture{5, 4};
  for (int y = 0; y < 4; ++y)
    for (int x = 0; x < 5; ++x) picture.row(y)[x] = static_cast<std::uint8_t>(10 * y + x);
  return picture;
}

TEST(GreyView, a_crop_shows_the_same_pixels_without_copying) {
  const GreyPicture picture = counting_picture();
  const GreyView part = picture.view().crop(1, 2, 3, 2);
  EXPECT_EQ(part.width_px, 3);
  EXPECT_EQ(part.height_px, 2);
  EXPECT_EQ(part.at(0, 0), 21);
  EXPECT_EQ(part.at(2, 1), 33);
  EXPECT_EQ(part.row(0), picture.row(2) + 1);
}

TEST(GreyView, a_crop_is_clipped_to_the_picture) {
  const GreyPicture picture = counting_picture();
  const GreyView corner = picture.view().crop(-2, -1, 4, 3);
  EXPECT_EQ(corner.width_px, 2);
  EXPECT_EQ(corner.height_px, 2);
  EXPECT_EQ(corner.at(1, 1), 11);
  EXPECT_TRUE(picture.view().crop(9, 9, 3, 3).empty());
  EXPECT_TRUE(picture.view().crop(1, 1, 0, 3).empty());
}

// ITU-R BT.601-7, 2.5.1: E'Y = 0.299 E'R + 0.587 E'G + 0.114 E'B (coefficients from memory).
TEST(Grey, luma_weighs_the_colours_as_bt_601_says) {
  ColourPicture picture{5, 1, {255, 255, 255, 0, 0, 0, 255, 0, 0, 0, 255, 0, 0, 0, 255}};
  const GreyPicture grey = to_grey(picture);
  const int expected[] = {255, 0, 76, 150, 29};  // round(255 * weight)
  for (int x = 0; x < 5; ++x) EXPECT_EQ(grey.row(0)[x], expected[x]) << "pixel " << x;
}

constexpr Corners k_square{PointF{0, 0}, PointF{10, 0}, PointF{10, 10}, PointF{0, 10}};
constexpr Corners k_square_the_other_way{PointF{0, 0}, PointF{0, 10}, PointF{10, 10}, PointF{10, 0}};

TEST(Picture, a_quadrilateral_holds_its_inside_and_its_edge_in_either_turning_sense) {
  for (const Corners& corners : {k_square, k_square_the_other_way}) {
    EXPECT_TRUE(contains(corners, {5, 5}));
    EXPECT_TRUE(contains(corners, {0, 5}));
    EXPECT_FALSE(contains(corners, {-0.1, 5}));
    EXPECT_FALSE(contains(corners, {5, 10.1}));
  }
}

TEST(Picture, corners_that_fell_together_hold_nothing) {
  EXPECT_FALSE(contains(Corners{}, {0, 0}));
  EXPECT_FALSE(contains(Corners{PointF{0, 0}, PointF{1, 1}, PointF{2, 2}, PointF{3, 3}}, {1, 1}));
}

TEST(Picture, the_middle_of_four_corners_is_their_mean) {
  EXPECT_DOUBLE_EQ(centre_of(k_square).x, 5);
  EXPECT_DOUBLE_EQ(centre_of(k_square).y, 5);
}

TEST(Picture, a_halved_picture_is_the_rounded_mean_of_four_pixels_and_never_empty) {
  GreyPicture picture{5, 2, 10};
  picture.row(0)[0] = 13;
  picture.row(1)[4] = 255;  // the odd last column is left out
  const GreyPicture half = halved(picture.view());
  ASSERT_EQ(half.width_px(), 2);
  ASSERT_EQ(half.height_px(), 1);
  EXPECT_EQ(half.row(0)[0], 11);  // (13 + 10 + 10 + 10 + 2) / 4
  EXPECT_EQ(half.row(0)[1], 10);
  const GreyPicture line = halved(GreyPicture{1, 4, 7}.view());
  ASSERT_EQ(line.width_px(), 1);
  ASSERT_EQ(line.height_px(), 2);
  EXPECT_EQ(line.row(1)[0], 7);
}

}  // namespace
}  // namespace sherdmark
