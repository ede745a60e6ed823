// Codes drawn by other people's writers, or by ours, read from pictures.
#include "sherdmark/scan/codes.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <ctime>

#include "scan/made_pictures.h"
#include "sherdmark/scan/image.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

// A symbol with its quiet zone painted at (left, top).
void paint(GreyPicture& picture, const SymbolMatrix& symbol, int left, int top, int module_px) {
  for (int y = 0; y < symbol.height_modules * module_px; ++y)
    for (int x = 0; x < symbol.width_modules * module_px; ++x)
      if (symbol.is_dark(x / module_px, y / module_px)) picture.row(top + y)[left + x] = 20;
}

std::vector<std::string> texts_of(const std::vector<CodeReading>& readings) {
  std::vector<std::string> texts;
  for (const CodeReading& reading : readings)
    texts.push_back(std::string{to_text(reading.format)} + " " + reading.text);
  std::sort(texts.begin(), texts.end());
  return texts;
}

TEST(Codes, all_the_symbols_in_one_picture_are_read) {
  GreyPicture picture{900, 700, 235};
  paint(picture, make_qr("SM1 A", ErrorLevel::q), 60, 60, 5);
  paint(picture, make_qr("SM1 B", ErrorLevel::q), 600, 400, 5);
  paint(picture, make_micro_qr("YABC12", ErrorLevel::m), 500, 80, 5);
  paint(picture, make_data_matrix("YDEF34"), 100, 450, 6);
  EXPECT_EQ(texts_of(read_codes(picture.view())),
            (std::vector<std::string>{"data-matrix YDEF34", "micro-qr YABC12", "qr SM1 A", "qr SM1 B"}));
}

TEST(Codes, two_prints_of_one_text_are_two_readings) {
  GreyPicture picture{700, 400, 235};
  paint(picture, make_qr("SAME", ErrorLevel::q), 60, 60, 5);
  paint(picture, make_qr("SAME", ErrorLevel::q), 400, 200, 5);
  EXPECT_EQ(read_codes(picture.view()).size(), 2U);
}

TEST(Codes, an_empty_picture_has_no_codes) {
  EXPECT_TRUE(read_codes(GreyView{}).empty());
  EXPECT_TRUE(read_codes(GreyPicture{1, 1}.view()).empty());
  EXPECT_TRUE(read_codes(GreyPicture{640, 480, 128}.view()).empty());
  EXPECT_TRUE(read_codes(GreyPicture{3000, 1}.view()).empty());
}

// Turned askew, a strip of so few pixels would fill gigabytes.
TEST(Codes, a_long_strip_takes_no_longer_than_its_pixels) {
  const std::clock_t start = std::clock();
  EXPECT_TRUE(read_codes(GreyPicture{65000, 10, 200}.view()).empty());
  EXPECT_TRUE(read_codes(GreyPicture{2, 60000, 200}.view()).empty());
  EXPECT_LT(static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC, 2);  // before: 20
}

// Corners lie on the symbol's own, in reading order, whichever way it is turned.
TEST(Codes, corners_are_where_the_symbol_is) {
  const SymbolMatrix symbol = make_qr("WHERE AM I", ErrorLevel::q);
  const int module_px = 6;
  GreyPicture picture{500, 400, 235};
  paint(picture, symbol, 120, 90, module_px);
  const double side = symbol.width_modules * module_px;
  const std::vector<CodeReading> readings = read_codes(picture.view());
  ASSERT_EQ(readings.size(), 1U);
  const Corners expected = {PointF{120, 90}, {120 + side, 90}, {120 + side, 90 + side}, {120, 90 + side}};
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_NEAR(readings[0].corners[i].x, expected[i].x, module_px) << i;
    EXPECT_NEAR(readings[0].corners[i].y, expected[i].y, module_px) << i;
  }
}

TEST(Codes, a_part_of_a_larger_picture_is_read_by_its_stride) {
  GreyPicture picture{800, 500, 235};
  paint(picture, make_qr("STRIDE", ErrorLevel::q), 400, 200, 4);
  const GreyView part = picture.view().crop(370, 170, 200, 200);
  const std::vector<CodeReading> readings = read_codes(part);
  ASSERT_EQ(readings.size(), 1U);
  EXPECT_NEAR(readings[0].corners[0].x, 30, 4);
}

struct MadeRow {
  std::vector<std::string> command;  // without the output file
  std::string expected;
};

TEST(Codes, codes_made_by_others_are_named_with_their_format) {
  const std::vector<MadeRow> rows = {
      {{"zint", "-b", "CODE128", "-d", "BAG-0042"}, "code-128 BAG-0042"},
      {{"zint", "-b", "CODE39", "-d", "BAG-0042"}, "code-39 BAG-0042"},
      {{"zint", "-b", "EANX", "-d", "9780306406157"}, "ean 9780306406157"},
      {{"zint", "-b", "AZTEC", "-d", "FOREIGN"}, "aztec FOREIGN"},
      {{"zint", "-b", "PDF417", "-d", "FOREIGN"}, "pdf417 FOREIGN"},
      {{"zint", "-b", "DATAMATRIX", "--square", "-d", "FOREIGN"}, "data-matrix FOREIGN"},
      {{"zint", "-b", "MICROQR", "-d", "Y12"}, "micro-qr Y12"},
      {{"qrencode", "-l", "Q", "-s", "4", "https://example.org/"}, "qr https://example.org/"},
  };
  const testing::ScratchFolder scratch;
  for (const MadeRow& row : rows) {
    std::vector<std::string> command = row.command;
    const std::string raw = (scratch / "raw.png").string();
    const std::string file = (scratch / "code.png").string();
    command.insert(command.begin() + 1, {"-o", raw});
    ASSERT_EQ(testing::run(command).exit_code, 0) << row.expected;
    ASSERT_EQ(
        testing::run({"convert", raw, "-scale", "200%", "-bordercolor", "white", "-border", "40", file}).exit_code, 0);
    const Bytes bytes = real_file_system().read(file, 1U << 24U);
    EXPECT_EQ(texts_of(read_codes(read_image(bytes, file).at(0).grey.view())), std::vector<std::string>{row.expected});
  }
}

}  // namespace
}  // namespace sherdmark
