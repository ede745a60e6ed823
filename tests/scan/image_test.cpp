// Pictures as ImageMagick writes them, read here and compared with how ImageMagick sees them.
#include "sherdmark/scan/image.h"

#include <gtest/gtest.h>

#include <fstream>

#include "scan/made_pictures.h"
#include "sherdmark/base/error.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

using testing::largest_difference;
using testing::made_by_convert;
using testing::seen_by_convert;

// The lopsided picture through convert with more arguments.
Bytes lopsided(const std::vector<std::string>& more, const std::string& format, int width = 37, int height = 22) {
  const testing::ScratchFolder scratch;
  std::ofstream{scratch / "in.ppm", std::ios::binary} << testing::lopsided_ppm(width, height);
  std::vector<std::string> arguments = {(scratch / "in.ppm").string()};
  arguments.insert(arguments.end(), more.begin(), more.end());
  return made_by_convert(arguments, format);
}

GreyPicture only_page(const Bytes& file) {
  std::vector<ImagePage> pages = read_image(file, "picture");
  EXPECT_EQ(pages.size(), 1U);
  EXPECT_EQ(pages.at(0).page, 1);
  return std::move(pages.at(0).grey);
}

TEST(Image, every_exif_orientation_comes_upright) {
  const Bytes plain = lopsided({"-quality", "95"}, "jpeg");
  for (int orientation = 1; orientation <= 8; ++orientation) {
    for (const bool big_endian : {false, true}) {
      const Bytes file = testing::with_app1(plain, testing::exif_payload(orientation, big_endian));
      EXPECT_LE(largest_difference(only_page(file).view(), seen_by_convert(file, "jpeg").view()), 3) << orientation;
      const ColourPicture colour = read_image_colour(file, "picture", 1);
      EXPECT_LE(largest_difference(to_grey(colour).view(), only_page(file).view()), 3) << orientation;
    }
  }
}

struct ExifRow {
  std::string payload;
  std::string why;
};

TEST(Image, exif_blocks_that_are_not_well_formed_turn_nothing) {
  const Bytes plain = lopsided({"-quality", "95"}, "jpeg");
  const std::string good = testing::exif_payload(6, false);
  const auto altered = [&good](std::size_t at, char c) {
    std::string text = good;
    text.at(at) = c;
    return text;
  };
  const std::vector<ExifRow> rows = {
      {"", "empty"},
      {good.substr(0, 6), "no block"},
      {good.substr(0, 20), "cut within the entry"},
      {good.substr(0, 15), "cut within the count"},
      {altered(6, 'X'), "no byte order"},
      {altered(8, 43), "no magic number"},
      {altered(10, '\x7F'), "directory past the end"},
      {altered(13, '\xFF'), "directory far past the end"},
      {altered(18, 4), "a long where a short belongs"},
      {altered(20, 2), "two values"},
      {altered(24, 9), "orientation 9"},
      {altered(24, 0), "orientation 0"},
      {altered(0, 'e'), "another kind of segment"},
  };
  for (const ExifRow& row : rows) {
    const GreyPicture picture = only_page(testing::with_app1(plain, row.payload));
    EXPECT_EQ(picture.width_px(), 37) << row.why;
    EXPECT_EQ(largest_difference(picture.view(), only_page(plain).view()), 0) << row.why;
  }
  EXPECT_EQ(only_page(testing::with_app1(plain, good)).width_px(), 22);
}

struct FormatRow {
  std::string format;
  std::vector<std::string> arguments;
  int tolerance;
  std::string why;
};

TEST(Image, every_flavour_of_the_formats_looks_as_it_should) {
  const std::vector<FormatRow> rows = {
      {"jpeg", {"-quality", "92"}, 3, "ordinary"},
      {"jpeg", {"-quality", "92", "-interlace", "JPEG"}, 3, "progressive"},
      {"jpeg", {"-colorspace", "Gray", "-quality", "92"}, 3, "grey"},
      {"jpeg", {"-quality", "97", "-sampling-factor", "4:4:4"}, 3, "without subsampling"},
      {"png", {}, 1, "RGB"},
      {"png", {"-interlace", "PNG"}, 1, "interlaced"},
      {"png8", {}, 1, "palette"},
      {"png48", {}, 1, "16 bits a channel"},
      {"png", {"-colorspace", "Gray", "-depth", "8"}, 1, "grey"},
      {"png", {"-colorspace", "Gray", "-depth", "16"}, 1, "16-bit grey"},
      {"png", {"-colorspace", "Gray", "-threshold", "50%", "-depth", "1"}, 1, "one bit"},
      {"png32", {"-alpha", "set", "-channel", "A", "-evaluate", "set", "40%"}, 2, "seen through"},
      {"png64", {"-alpha", "set", "-channel", "A", "-evaluate", "set", "40%"}, 2, "seen through, 16 bits"},
      {"png32",
       {"-alpha", "set", "-channel", "A", "-evaluate", "set", "40%", "-interlace", "PNG"},
       2,
       "and interlaced"},
      {"png", {"-transparent", "rgb(40,60,250)", "-type", "Palette"}, 1, "palette with a clear colour"},
      {"tiff", {"-compress", "None"}, 1, "plain"},
      {"tiff", {"-compress", "LZW"}, 1, "LZW"},
      {"tiff", {"-compress", "Zip"}, 1, "deflate"},
      {"tiff", {"-compress", "JPEG", "-quality", "95"}, 4, "JPEG in TIFF"},
      {"tiff", {"-depth", "16"}, 1, "16 bits a channel"},
      {"tiff", {"-colorspace", "Gray"}, 1, "grey"},
      {"tiff", {"-threshold", "50%", "-monochrome", "-compress", "Group4"}, 1, "fax"},
      {"tiff", {"-type", "Palette"}, 1, "palette"},
      {"tiff", {"-define", "tiff:tile-geometry=64x64", "-compress", "LZW"}, 1, "tiled"},
      {"tiff", {"-define", "tiff:rows-per-strip=4"}, 1, "many strips"},
      {"tiff", {"-endian", "MSB"}, 1, "big-endian"},
      {"tiff64", {}, 1, "large-file TIFF"},
      {"tiff", {"-orient", "RightTop"}, 1, "turned"},
      {"tiff", {"-orient", "BottomLeft"}, 1, "upside down"},
      {"tiff", {"-alpha", "set", "-channel", "A", "-evaluate", "set", "40%"}, 2, "seen through"},
  };
  for (const FormatRow& row : rows) {
    const Bytes file = lopsided(row.arguments, row.format, 170, 130);
    const std::string general = row.format.starts_with("png")    ? "png"
                                : row.format.starts_with("tiff") ? "tiff"
                                                                 : row.format;
    EXPECT_LE(largest_difference(only_page(file).view(), seen_by_convert(file, general).view()), row.tolerance)
        << row.format << " " << row.why;
    EXPECT_LE(largest_difference(to_grey(read_image_colour(file, "picture", 1)).view(), only_page(file).view()),
              row.tolerance)
        << row.format << " " << row.why;
  }
}

TEST(Image, four_ink_pictures_are_turned_into_grey) {
  for (const std::string format : {"jpeg", "tiff"}) {
    const GreyPicture picture = only_page(lopsided({"-colorspace", "CMYK", "-quality", "95"}, format, 170, 130));
    EXPECT_GT(picture.view().at(10, 10), 150) << format;    // light corner
    EXPECT_LT(picture.view().at(160, 120), 110) << format;  // dark corner
    EXPECT_GT(picture.view().at(10, 10) - picture.view().at(160, 120), 80) << format;
  }
}

TEST(Image, every_page_of_a_tiff_is_read_in_order) {
  const Bytes file = made_by_convert({"-size", "20x10", "xc:gray(10)", "-size", "30x15", "xc:gray(120)", "-size",
                                      "40x20", "xc:gray(250)", "-compress", "LZW"},
                                     "tiff");
  const std::vector<ImagePage> pages = read_image(file, "scan.tif");
  ASSERT_EQ(pages.size(), 3U);
  const std::vector<int> widths = {20, 30, 40};
  const std::vector<int> greys = {10, 120, 250};
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_EQ(pages[i].page, static_cast<int>(i) + 1);
    EXPECT_EQ(pages[i].grey.width_px(), widths[i]);
    EXPECT_NEAR(pages[i].grey.view().at(5, 5), greys[i], 1);
    EXPECT_EQ(read_image_colour(file, "scan.tif", static_cast<int>(i) + 1).width_px, widths[i]);
  }
}

TEST(Image, a_page_that_is_not_there_is_said) {
  const Bytes file = lopsided({}, "png");
  for (const int page : {0, 2, -1}) {
    try {
      (void)read_image_colour(file, "a.png", page);
      ADD_FAILURE() << "page " << page << " was read";
    } catch (const Error& error) {
      EXPECT_EQ(error.family(), ErrorFamily::data);
      EXPECT_NE(error.problem().find("no such page"), std::string::npos);
    }
  }
}

TEST(Image, one_pixel_is_a_picture) {
  for (const std::string format : {"png", "jpeg", "tiff"}) {
    const GreyPicture picture = only_page(made_by_convert({"-size", "1x1", "xc:gray(99)"}, format));
    EXPECT_EQ(picture.width_px(), 1);
    EXPECT_NEAR(picture.view().at(0, 0), 99, 1);
  }
}

}  // namespace
}  // namespace sherdmark
