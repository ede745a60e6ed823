#include "code/symbol_walk.h"

#include <algorithm>

#include "code/data_matrix.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

constexpr int k_versions = 40;
using PerVersion = std::array<int, k_versions>;

// ISO/IEC 18004, table 9; versions 1-10 as in the check values, the others from memory and confirmed by decoding what
// libqrencode draws (tests/code/reference_decode_test.cpp). Levels L, M, Q, H.
constexpr std::array<PerVersion, 4> k_error_codewords_of_block = {{
    {7,  10, 15, 20, 26, 18, 20, 24, 30, 18, 20, 24, 26, 30, 22, 24, 28, 30, 28, 28,
     28, 28, 30, 30, 26, 28, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30},
    {10, 16, 26, 18, 24, 16, 18, 22, 22, 26, 30, 22, 22, 24, 24, 28, 28, 26, 26, 26,
     26, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28},
    {13, 22, 18, 26, 18, 24, 18, 22, 20, 24, 28, 26, 24, 20, 30, 24, 28, 28, 26, 30,
     28, 30, 30, 30, 30, 28, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30},
    {17, 28, 22, 16, 22, 28, 26, 26, 24, 28, 24, 28, 22, 24, 24, 30, 28, 28, 26, 28,
     30, 24, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30},
}};
constexpr std::array<PerVersion, 4> k_blocks = {{
    {1, 1, 1, 1,  1,  2,  2,  2,  2,  4,  4,  4,  4,  4,  6,  6,  6,  6,  7,  8,
     8, 9, 9, 10, 12, 12, 12, 13, 14, 15, 16, 17, 18, 19, 19, 20, 21, 22, 24, 25},
    {1,  1,  1,  2,  2,  4,  4,  4,  5,  5,  5,  8,  9,  9,  10, 10, 11, 13, 14, 16,
     17, 17, 18, 20, 21, 23, 25, 26, 28, 29, 31, 33, 35, 37, 38, 40, 43, 45, 47, 49},
    {1,  1,  2,  2,  4,  4,  6,  6,  8,  8,  8,  10, 12, 16, 12, 17, 16, 18, 21, 20,
     23, 23, 25, 27, 29, 34, 34, 35, 38, 40, 43, 45, 48, 51, 53, 56, 59, 62, 65, 68},
    {1,  1,  2,  4,  4,  4,  5,  6,  8,  8,  11, 11, 16, 16, 18, 16, 19, 21, 25, 25,
     25, 34, 30, 32, 35, 37, 40, 42, 45, 48, 51, 54, 57, 60, 63, 66, 70, 74, 77, 81},
}};

int codewords_of_version(int version) {
  int bits = (16 * version + 128) * version + 64;
  if (version >= 2) {
    const int centres = version / 7 + 2;
    bits -= (25 * centres - 10) * centres - 55;
    if (version >= 7) bits -= 36;
  }
  return bits / 8;
}

// Codewords that are kept against misdecoding: from memory (check values, 2.6).
int kept_for_detection(int version, ErrorLevel level) {
  if (version == 1) return level == ErrorLevel::l ? 3 : level == ErrorLevel::m ? 2 : 1;
  if (version == 2 && level == ErrorLevel::l) return 2;
  return version == 3 && level == ErrorLevel::l ? 1 : 0;
}

// Upwards and downwards in pairs of columns from the lower right corner (ISO/IEC 18004, 7.7.3).
std::vector<int> zigzag(const SymbolFrame& frame) {
  const int side = frame.side_modules;
  const int skipped = frame.format == SymbolFormat::qr ? 6 : 0;  // the column of the timing pattern
  std::vector<int> walk;
  bool up = true;
  for (int right = side - 1; right >= 1; right -= 2) {
    if (right == skipped) --right;
    for (int step = 0; step < side; ++step) {
      const int y = up ? side - 1 - step : step;
      for (const int x : {right, right - 1}) {
        const int index = y * side + x;
        if (frame.parts[static_cast<std::size_t>(index)] == ModulePart::data) walk.push_back(index);
      }
    }
    up = !up;
  }
  return walk;
}

// The placement of a Data Matrix, told from where the bits of counted codewords go.
std::vector<int> data_matrix_walk(int side_modules) {
  const auto& sizes = data_matrix_sizes();
  const auto size = std::ranges::find(sizes, side_modules, &DataMatrixSize::side_modules);
  if (size == sizes.end()) throw internal_error("A Data Matrix of a size that there is not.");
  const auto codewords = static_cast<std::size_t>(size->data_codewords + size->error_codewords);
  const int mapping = size->mapping_modules();
  std::vector<int> bit_at(static_cast<std::size_t>(mapping) * static_cast<std::size_t>(mapping), 0);
  for (unsigned plane = 0; plane < 14; ++plane) {
    Codewords counted(codewords, 0);
    for (std::size_t i = 0; i < codewords * 8; ++i)
      if (((i + 1) >> plane & 1U) != 0) counted[i / 8] |= static_cast<std::uint8_t>(0x80U >> (i % 8));
    const std::vector<std::uint8_t> placed = place_codewords(counted, mapping);
    for (std::size_t m = 0; m < placed.size(); ++m) bit_at[m] |= static_cast<int>(unsigned{placed[m]} << plane);
  }
  std::vector<int> walk(codewords * 8, -1);
  const int inner = size->region_modules();
  for (std::size_t m = 0; m < bit_at.size(); ++m) {
    const auto bit = static_cast<std::size_t>(bit_at[m]);
    if (bit == 0 || bit > walk.size()) continue;  // the corner that holds no bit
    const int row = static_cast<int>(m) / mapping;
    const int column = static_cast<int>(m) % mapping;
    const int y = row / inner * (inner + 2) + 1 + row % inner;
    const int x = column / inner * (inner + 2) + 1 + column % inner;
    walk[bit - 1] = y * side_modules + x;
  }
  return walk;
}

}  // namespace

BlockPlan qr_blocks(int version, ErrorLevel level) {
  const auto row = static_cast<std::size_t>(level);
  const auto column = static_cast<std::size_t>(version - 1);
  BlockPlan plan;
  plan.blocks = k_blocks[row][column];
  plan.error_codewords = k_error_codewords_of_block[row][column];
  const int all = codewords_of_version(version);
  plan.short_blocks = plan.blocks - all % plan.blocks;
  plan.data_of_short = all / plan.blocks - plan.error_codewords;
  plan.kept_for_detection = kept_for_detection(version, level);
  return plan;
}

BlockPlan micro_qr_blocks(int symbol_number) {
  struct Row {
    int data, error, kept;
  };
  // ISO/IEC 18004, table 9; the codewords kept for detection from memory.
  constexpr std::array<Row, 8> k_rows = {
      {{3, 2, 2}, {5, 5, 3}, {4, 6, 2}, {11, 6, 2}, {9, 8, 0}, {16, 8, 2}, {14, 10, 0}, {10, 14, 0}}};
  const Row& row = k_rows.at(static_cast<std::size_t>(symbol_number));
  return {1, 1, row.data, row.error, row.kept};
}

std::vector<FormatPlaces> format_places(SymbolFormat format, int side) {
  const auto at = [side](int x, int y) { return y * side + x; };
  if (format == SymbolFormat::micro_qr) {
    FormatPlaces places{};
    for (int i = 0; i < 8; ++i) places[static_cast<std::size_t>(i)] = at(8, i + 1);
    for (int i = 0; i < 7; ++i) places[static_cast<std::size_t>(i + 8)] = at(7 - i, 8);
    return {places};
  }
  if (format != SymbolFormat::qr) return {};
  FormatPlaces first{};
  FormatPlaces second{};
  for (int i = 0; i <= 5; ++i) first[static_cast<std::size_t>(i)] = at(8, i);
  first[6] = at(8, 7);
  first[7] = at(8, 8);
  first[8] = at(7, 8);
  for (int i = 9; i < 15; ++i) first[static_cast<std::size_t>(i)] = at(14 - i, 8);
  for (int i = 0; i < 8; ++i) second[static_cast<std::size_t>(i)] = at(side - 1 - i, 8);
  for (int i = 8; i < 15; ++i) second[static_cast<std::size_t>(i)] = at(8, side - 15 + i);
  return {first, second};
}

bool masked(SymbolFormat format, int mask, int x, int y) {
  constexpr std::array k_micro = {1, 4, 6, 7};  // the same patterns under other numbers
  switch (format == SymbolFormat::micro_qr ? k_micro.at(static_cast<std::size_t>(mask)) : mask) {
    case 0:
      return (x + y) % 2 == 0;
    case 1:
      return y % 2 == 0;
    case 2:
      return x % 3 == 0;
    case 3:
      return (x + y) % 3 == 0;
    case 4:
      return (x / 3 + y / 2) % 2 == 0;
    case 5:
      return x * y % 2 + x * y % 3 == 0;
    case 6:
      return (x * y % 2 + x * y % 3) % 2 == 0;
    default:
      return ((x + y) % 2 + x * y % 3) % 2 == 0;
  }
}

std::vector<int> data_walk(const SymbolFrame& frame) {
  return frame.format == SymbolFormat::data_matrix ? data_matrix_walk(frame.side_modules) : zigzag(frame);
}

}  // namespace sherdmark
