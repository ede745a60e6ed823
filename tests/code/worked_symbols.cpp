#include "code/worked_symbols.h"

#include <array>
#include <stdexcept>

namespace sherdmark::testing {
namespace {

constexpr std::array<std::array<int, 8>, 4> k_qr_formats = {{
    {0x77C4, 0x72F3, 0x7DAA, 0x789D, 0x662F, 0x6318, 0x6C41, 0x6976},  // L
    {0x5412, 0x5125, 0x5E7C, 0x5B4B, 0x45F9, 0x40CE, 0x4F97, 0x4AA0},  // M
    {0x355F, 0x3068, 0x3F31, 0x3A06, 0x24B4, 0x2183, 0x2EDA, 0x2BED},  // Q
    {0x1689, 0x13BE, 0x1CE7, 0x19D0, 0x0762, 0x0255, 0x0D0C, 0x083B},  // H
}};
constexpr std::array<std::array<int, 4>, 8> k_micro_formats = {{
    {0x4445, 0x4172, 0x4E2B, 0x4B1C},  // M1
    {0x55AE, 0x5099, 0x5FC0, 0x5AF7},  // M2-L
    {0x6793, 0x62A4, 0x6DFD, 0x68CA},  // M2-M
    {0x7678, 0x734F, 0x7C16, 0x7921},  // M3-L
    {0x06DE, 0x03E9, 0x0CB0, 0x0987},  // M3-M
    {0x1735, 0x1202, 0x1D5B, 0x186C},  // M4-L
    {0x2508, 0x203F, 0x2F66, 0x2A51},  // M4-M
    {0x34E3, 0x31D4, 0x3E8D, 0x3BBA},  // M4-Q
}};

struct At {
  int x;
  int y;
};

bool is_micro(const SymbolMatrix& symbol) { return symbol.format == SymbolFormat::micro_qr; }

// Module of bit i (0 is the least significant).
At first_copy(int bit, bool micro) {
  if (micro) return bit < 8 ? At{8, bit + 1} : At{15 - bit, 8};
  if (bit < 6) return {8, bit};
  if (bit < 8) return {8, bit + 1};
  if (bit == 8) return {7, 8};
  return {14 - bit, 8};
}
At second_copy(int bit, int side) { return bit < 8 ? At{side - 1 - bit, 8} : At{8, side - 15 + bit}; }

bool is_data(const SymbolMatrix& symbol, int x, int y) {
  const int side = symbol.width_modules;
  if (is_micro(symbol)) return x > 0 && y > 0 && !(x < 9 && y < 9);
  const bool finder = (x < 9 && y < 9) || (x >= side - 8 && y < 9) || (x < 9 && y >= side - 8);
  return !finder && x != 6 && y != 6;
}

bool flips(int mask, int i, int j) {
  switch (mask) {
    case 0:
      return (i + j) % 2 == 0;
    case 1:
      return i % 2 == 0;
    case 2:
      return j % 3 == 0;
    case 3:
      return (i + j) % 3 == 0;
    case 4:
      return (i / 2 + j / 3) % 2 == 0;
    case 5:
      return (i * j) % 2 + (i * j) % 3 == 0;
    case 6:
      return ((i * j) % 2 + (i * j) % 3) % 2 == 0;
    case 7:
      return ((i + j) % 2 + (i * j) % 3) % 2 == 0;
    default:
      throw std::logic_error("no such mask");
  }
}

int qr_mask_of_micro(int mask) { return std::array{1, 4, 6, 7}.at(static_cast<std::size_t>(mask)); }

struct FormatOf {
  int row;
  int mask;
};

FormatOf find_format(const SymbolMatrix& symbol) {
  const int bits = read_format_bits(symbol).first;
  const int rows = is_micro(symbol) ? 8 : 4;
  const int masks = is_micro(symbol) ? 4 : 8;
  for (int row = 0; row < rows; ++row)
    for (int mask = 0; mask < masks; ++mask)
      if (bits == (is_micro(symbol) ? micro_format(row, mask) : qr_format(static_cast<ErrorLevel>(row), mask)))
        return {row, mask};
  throw std::runtime_error("the symbol's format information is none of the standard's");
}

void set(SymbolMatrix& symbol, At at, int bit) {
  symbol.dark[static_cast<std::size_t>(at.y * symbol.width_modules + at.x)] = static_cast<std::uint8_t>(bit);
}

}  // namespace

int qr_format(ErrorLevel level, int mask) {
  return k_qr_formats.at(static_cast<std::size_t>(level)).at(static_cast<std::size_t>(mask));
}
int micro_format(int symbol_number, int mask) {
  return k_micro_formats.at(static_cast<std::size_t>(symbol_number)).at(static_cast<std::size_t>(mask));
}

FormatBits read_format_bits(const SymbolMatrix& symbol) {
  FormatBits bits;
  for (int bit = 14; bit >= 0; --bit) {
    const At one = first_copy(bit, is_micro(symbol));
    const At two = is_micro(symbol) ? one : second_copy(bit, symbol.width_modules);
    bits.first = bits.first * 2 + (symbol.is_dark(one.x, one.y) ? 1 : 0);
    bits.second = bits.second * 2 + (symbol.is_dark(two.x, two.y) ? 1 : 0);
  }
  return bits;
}

SymbolMatrix with_mask(const SymbolMatrix& symbol, int mask) {
  const FormatOf format = find_format(symbol);
  const bool micro = is_micro(symbol);
  SymbolMatrix result = symbol;
  for (int y = 0; y < symbol.height_modules; ++y) {
    for (int x = 0; x < symbol.width_modules; ++x) {
      if (!is_data(symbol, x, y)) continue;
      const bool was = flips(micro ? qr_mask_of_micro(format.mask) : format.mask, y, x);
      const bool is = flips(micro ? qr_mask_of_micro(mask) : mask, y, x);
      if (was != is) set(result, {x, y}, symbol.is_dark(x, y) ? 0 : 1);
    }
  }
  const int bits = micro ? micro_format(format.row, mask) : qr_format(static_cast<ErrorLevel>(format.row), mask);
  for (int bit = 0; bit < 15; ++bit) {
    set(result, first_copy(bit, micro), (bits >> bit) & 1);
    if (!micro) set(result, second_copy(bit, symbol.width_modules), (bits >> bit) & 1);
  }
  return result;
}

std::string rows_of(const SymbolMatrix& symbol) {
  std::string rows;
  for (int y = 0; y < symbol.height_modules; ++y) {
    if (y > 0) rows += '/';
    for (int x = 0; x < symbol.width_modules; ++x) rows += symbol.is_dark(x, y) ? '1' : '0';
  }
  return rows;
}

std::string to_pgm(const SymbolMatrix& symbol, int pixels_per_module) {
  const int quiet = symbol.quiet_zone_modules;
  const int width = (symbol.width_modules + 2 * quiet) * pixels_per_module;
  const int height = (symbol.height_modules + 2 * quiet) * pixels_per_module;
  std::string pgm = "P5\n" + std::to_string(width) + " " + std::to_string(height) + "\n255\n";
  for (int py = 0; py < height; ++py) {
    for (int px = 0; px < width; ++px) {
      const int x = px / pixels_per_module - quiet;
      const int y = py / pixels_per_module - quiet;
      const bool inside = x >= 0 && y >= 0 && x < symbol.width_modules && y < symbol.height_modules;
      pgm += inside && symbol.is_dark(x, y) ? '\0' : '\xFF';
    }
  }
  return pgm;
}

}  // namespace sherdmark::testing
