// Data Matrix against published figures: worked codewords and the placement of zxing/zxing's tests, the worked example
// of ISO/IEC 16022, and the capacities of a printer manual (p. 480).
#include "code/data_matrix.h"

#include <gtest/gtest.h>

#include "sherdmark/code/symbol.h"

namespace sherdmark {
namespace {

struct DataRow {
  std::string text;
  int capacity;
  Codewords data;
};

TEST(DataMatrix, texts_become_the_published_codewords) {
  const std::vector<DataRow> rows = {
      {"123456", 3, {142, 164, 186}},
      {"A", 3, {66, 129, 70}},
      {"A1B2C3D4E5F6G7H8I9J0K1L2",
       18,
       {230, 88, 88, 40, 8, 107, 147, 59, 67, 126, 206, 78, 126, 144, 121, 35, 47, 254}},
      {"30Q324343430794<OQQ", 12, {160, 82, 162, 173, 173, 173, 137, 224, 61, 80, 82, 82}},
  };
  for (const DataRow& row : rows) EXPECT_EQ(encode_data_codewords(row.text, row.capacity), row.data) << row.text;
}

TEST(DataMatrix, error_codewords_are_the_published_ones) {
  EXPECT_EQ(error_codewords({142, 164, 186}, 5), (Codewords{114, 25, 5, 88, 102}));
  EXPECT_EQ(error_codewords({66, 129, 70}, 5), (Codewords{138, 234, 82, 82, 95}));
  EXPECT_EQ(error_codewords({66, 74, 78, 66, 74, 78, 129, 56}, 10),
            (Codewords{35, 102, 192, 96, 226, 100, 156, 1, 107, 221}));
}

TEST(DataMatrix, codewords_lie_where_the_published_placement_has_them) {
  const Codewords all = {66, 74, 78, 66, 74, 78, 129, 56, 35, 102, 192, 96, 226, 100, 156, 1, 107, 221};
  std::string rows;
  const auto modules = place_codewords(all, 12);
  for (std::size_t i = 0; i < modules.size(); ++i) {
    if (i > 0 && i % 12 == 0) rows += '/';
    rows += modules[i] != 0 ? '1' : '0';
  }
  EXPECT_EQ(rows,
            "011100001111/001010101000/010001010100/001010100010/000111000100/011000010100/"
            "000100001101/011000010000/001100001101/100010010111/011101011010/001011001010");
}

struct CapacityRow {
  int side;
  int numeric;
  int alphanumeric;
  int byte;
};

TEST(DataMatrix, the_smallest_square_that_holds_the_text_is_taken) {
  // 16 × 16 holds 24 digits: the manual's 25 is a misprint, a digit pair takes one codeword.
  const std::vector<CapacityRow> rows = {
      {10, 6, 3, 1},    {12, 10, 6, 3},   {14, 16, 10, 6},  {16, 24, 16, 10}, {18, 36, 25, 16},
      {20, 44, 31, 20}, {22, 60, 43, 28}, {24, 72, 52, 34}, {26, 88, 64, 42},
  };
  for (const CapacityRow& row : rows) {
    for (const auto& [c, most] : {std::pair{'7', row.numeric}, {'A', row.alphanumeric}, {'\xE9', row.byte}}) {
      const SymbolMatrix full = make_data_matrix(std::string(static_cast<std::size_t>(most), c));
      EXPECT_EQ(full.width_modules, row.side) << most;
      EXPECT_EQ(full.height_modules, row.side);
      EXPECT_EQ(full.quiet_zone_modules, 1);
      EXPECT_FALSE(full.level);
      EXPECT_GT(make_data_matrix(std::string(static_cast<std::size_t>(most) + 1, c)).width_modules, row.side) << most;
    }
  }
}

TEST(DataMatrix, the_border_is_solid_left_and_below_and_alternates_above_and_right) {
  for (const std::size_t length : {3U, 60U, 100U, 700U}) {
    const SymbolMatrix symbol = make_data_matrix(std::string(length, 'Q'));
    const int side = symbol.width_modules;
    for (int i = 0; i < side; ++i) {
      EXPECT_TRUE(symbol.is_dark(0, i));
      EXPECT_TRUE(symbol.is_dark(i, side - 1));
      EXPECT_EQ(symbol.is_dark(i, 0), i % 2 == 0);
      EXPECT_EQ(symbol.is_dark(side - 1, i), i % 2 == 1);
    }
  }
}

}  // namespace
}  // namespace sherdmark
