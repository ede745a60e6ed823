// QR and Micro QR against ISO/IEC 18004: worked symbols, capacities and format information as quoted by heuer/segno,
// and by the manuals named beside the tables. Masks are forced: how the standard's penalty rule 3 is read decides the
// automatic choice, so no test asserts it.
#include "sherdmark/code/symbol.h"

#include <gtest/gtest.h>

#include <array>

#include "code/worked_symbols.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

using testing::read_format_bits;
using testing::rows_of;
using testing::with_mask;

TEST(QrSymbol, annex_I2_is_drawn_as_printed) {
  const SymbolMatrix symbol = make_qr("01234567", ErrorLevel::m);
  EXPECT_EQ(symbol.version, 1);
  EXPECT_EQ(rows_of(with_mask(symbol, 2)),
            "111111100101101111111/100000100111101000001/101110101000001011101/101110101100001011101/"
            "101110101011101011101/100000101000101000001/111111101010101111111/000000001001100000000/"
            "101111100100101111100/000101011010100101100/001000110101010011111/000010000100000111100/"
            "000111111001010010000/000000001011111001100/111111100110101100000/100000101011111000101/"
            "101110101000100101100/101110101100100100000/101110101011010010100/100000100000000110110/"
            "111111101111010010100");
}

TEST(QrSymbol, figure_1_is_drawn_as_printed) {
  const SymbolMatrix symbol = make_qr("QR Code Symbol", ErrorLevel::m);
  EXPECT_EQ(symbol.version, 1);
  EXPECT_EQ(rows_of(with_mask(symbol, 5)),
            "111111100001101111111/100000101001101000001/101110101110101011101/101110101010001011101/"
            "101110100000101011101/100000100010101000001/111111101010101111111/000000001100100000000/"
            "100000101111011001110/100010001110001000111/011101111001100100010/110100001011010100110/"
            "011111111110001011011/000000001000000010110/111111100111111000110/100000100010011011100/"
            "101110100000111000111/101110100100001010100/101110100100101010011/100000100001110111100/"
            "111111101011001010010");
}

TEST(MicroQrSymbol, annex_I3_is_drawn_as_printed) {
  const SymbolMatrix symbol = make_micro_qr("01234567", ErrorLevel::l, ErrorLevel::l);
  EXPECT_EQ(symbol.version, 2);
  EXPECT_EQ(rows_of(with_mask(symbol, 1)),
            "1111111010101/1000001011101/1011101001101/1011101001111/1011101011100/1000001010001/1111111001111/"
            "0000000001100/1101000010001/0110101010101/1110011111110/0001010000110/1110100110111");
}

TEST(MicroQrSymbol, the_highest_level_that_costs_nothing_is_taken) {
  EXPECT_EQ(make_micro_qr("01234567", ErrorLevel::l).level, ErrorLevel::m);  // eight digits fit M2-M
  EXPECT_EQ(make_micro_qr("0123456789", ErrorLevel::l).level, ErrorLevel::l);
  EXPECT_EQ(make_micro_qr("ABCDEFGHIJKLM", ErrorLevel::m).level, ErrorLevel::q);
}

TEST(QrSymbol, format_information_is_one_of_the_standards_in_both_places) {
  for (const ErrorLevel level : {ErrorLevel::l, ErrorLevel::m, ErrorLevel::q, ErrorLevel::h}) {
    for (int length = 1; length < 120; length += 7) {
      const auto bits = read_format_bits(make_qr(std::string(static_cast<std::size_t>(length), 'A'), level));
      EXPECT_EQ(bits.first, bits.second);
      bool known = false;
      for (int mask = 0; mask < 8; ++mask) known = known || bits.first == testing::qr_format(level, mask);
      EXPECT_TRUE(known) << length;
    }
  }
}

// Version information of versions 7 to 10 (18 bits), beside the top right finder.
TEST(QrSymbol, version_information_is_the_standards) {
  const std::vector<std::pair<int, int>> rows = {{7, 0x07C94}, {8, 0x085BC}, {9, 0x09A99}, {10, 0x0A4D3}};
  const std::vector<int> alphanumeric_at_q = {125, 157, 189, 221};
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const SymbolMatrix symbol =
        make_qr(std::string(static_cast<std::size_t>(alphanumeric_at_q[i]), 'A'), ErrorLevel::q);
    ASSERT_EQ(symbol.version, rows[i].first);
    int bits = 0;
    for (int bit = 17; bit >= 0; --bit)
      bits = bits * 2 + (symbol.is_dark(symbol.width_modules - 11 + bit % 3, bit / 3) ? 1 : 0);
    EXPECT_EQ(bits, rows[i].second);
  }
}

struct Capacity {
  int numeric;
  int alphanumeric;
  int byte;
};

// Levels L, M, Q, H. Kanji mode is not written: such text goes in as bytes.
const std::vector<std::array<Capacity, 4>> k_qr_capacity = {
    {{{41, 25, 17}, {34, 20, 14}, {27, 16, 11}, {17, 10, 7}}},
    {{{77, 47, 32}, {63, 38, 26}, {48, 29, 20}, {34, 20, 14}}},
    {{{127, 77, 53}, {101, 61, 42}, {77, 47, 32}, {58, 35, 24}}},
    {{{187, 114, 78}, {149, 90, 62}, {111, 67, 46}, {82, 50, 34}}},
    {{{255, 154, 106}, {202, 122, 84}, {144, 87, 60}, {106, 64, 44}}},
    {{{322, 195, 134}, {255, 154, 106}, {178, 108, 74}, {139, 84, 58}}},
    {{{370, 224, 154}, {293, 178, 122}, {207, 125, 86}, {154, 93, 64}}},
    {{{461, 279, 192}, {365, 221, 152}, {259, 157, 108}, {202, 122, 84}}},
    {{{552, 335, 230}, {432, 262, 180}, {312, 189, 130}, {235, 143, 98}}},
    {{{652, 395, 271}, {513, 311, 213}, {364, 221, 151}, {288, 174, 119}}},
};

std::string repeated(char c, int count) { return std::string(static_cast<std::size_t>(count), c); }

// Capacities of versions 1-10 (laser marker manual p. 162; wiki.pedromussato.com; recomputed).
TEST(QrSymbol, the_smallest_version_that_holds_the_text_is_taken) {
  for (std::size_t v = 0; v < k_qr_capacity.size(); ++v) {
    for (std::size_t l = 0; l < 4; ++l) {
      const auto level = static_cast<ErrorLevel>(l);
      const Capacity& holds = k_qr_capacity[v][l];
      for (const auto& [c, most] : {std::pair{'7', holds.numeric}, {'A', holds.alphanumeric}, {'a', holds.byte}}) {
        const int version = static_cast<int>(v) + 1;
        const SymbolMatrix full = make_qr(repeated(c, most), level);
        EXPECT_EQ(full.version, version) << c << most;
        EXPECT_EQ(full.width_modules, 17 + 4 * version);
        EXPECT_EQ(full.quiet_zone_modules, 4);
        EXPECT_EQ(make_qr(repeated(c, most + 1), level).version, version + 1) << c << most + 1;
      }
    }
  }
}

struct MicroRow {
  int version;
  ErrorLevel level;
  Capacity holds;  // -1: not in that mode
};

// Micro QR capacities (a reader manual; recomputed).
TEST(MicroQrSymbol, the_smallest_version_that_holds_the_text_is_taken) {
  const std::vector<MicroRow> rows = {
      {1, ErrorLevel::l, {5, -1, -1}},  {2, ErrorLevel::l, {10, 6, -1}}, {2, ErrorLevel::m, {8, 5, -1}},
      {3, ErrorLevel::l, {23, 14, 9}},  {3, ErrorLevel::m, {18, 11, 7}}, {4, ErrorLevel::l, {35, 21, 15}},
      {4, ErrorLevel::m, {30, 18, 13}}, {4, ErrorLevel::q, {21, 13, 9}},
  };
  for (const MicroRow& row : rows) {
    const auto& h = row.holds;
    for (const auto& [c, most] : {std::pair{'7', h.numeric}, {'A', h.alphanumeric}, {'a', h.byte}}) {
      if (most < 0) continue;
      const SymbolMatrix full = make_micro_qr(repeated(c, most), row.level);
      EXPECT_EQ(full.version, row.version) << c << most;
      EXPECT_EQ(full.width_modules, 9 + 2 * row.version);
      EXPECT_EQ(full.quiet_zone_modules, 2);
      EXPECT_GE(full.level, row.level);
      if (row.version == 4) {
        EXPECT_THROW((void)make_micro_qr(repeated(c, most + 1), row.level), Error) << c << most;
      } else {
        EXPECT_EQ(make_micro_qr(repeated(c, most + 1), row.level).version, row.version + 1) << c << most;
      }
    }
  }
  EXPECT_THROW((void)make_micro_qr("1", ErrorLevel::h), Error);
}

TEST(MicroQrSymbol, format_information_names_version_level_and_mask) {
  const std::vector<std::pair<std::string, int>> rows = {
      {"12345", 0},           {"0123456789", 1},      {"01234567", 2},        {repeated('A', 14), 3},
      {repeated('A', 11), 4}, {repeated('A', 21), 5}, {repeated('A', 18), 6}, {repeated('A', 13), 7}};
  for (const auto& [text, number] : rows) {
    const ErrorLevel least = number == 7 ? ErrorLevel::q : ErrorLevel::l;
    const int bits = read_format_bits(make_micro_qr(text, least)).first;
    bool known = false;
    for (int mask = 0; mask < 4; ++mask) known = known || bits == testing::micro_format(number, mask);
    EXPECT_TRUE(known) << text;
  }
}

TEST(QrSymbol, no_text_and_too_much_text_are_refused) {
  EXPECT_THROW((void)make_qr("", ErrorLevel::q), Error);
  EXPECT_THROW((void)make_micro_qr("", ErrorLevel::m), Error);
  EXPECT_THROW((void)make_data_matrix(""), Error);
  EXPECT_EQ(make_qr(repeated('7', 7089), ErrorLevel::l).version, 40);
  EXPECT_THROW((void)make_qr(repeated('7', 7090), ErrorLevel::l), Error);
  EXPECT_THROW((void)make_qr(repeated('A', 3000), ErrorLevel::h), Error);
  EXPECT_THROW((void)make_data_matrix(repeated('A', 4000)), Error);
}

TEST(QrSymbol, bytes_of_any_value_can_be_written) {
  std::string all;
  for (int i = 0; i < 256; ++i) all.push_back(static_cast<char>(i));
  EXPECT_GT(make_qr(all, ErrorLevel::q).version, 10);
  EXPECT_EQ(make_data_matrix(all).format, SymbolFormat::data_matrix);
}

}  // namespace
}  // namespace sherdmark
