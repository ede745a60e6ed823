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

}  // namespace
}  // namespace sherdmark
