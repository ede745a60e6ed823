// Module and symbol sizes. Sources: qrcode.com/en/howto/cell.html (dots per module) and howto/code.html (worked
// example); symbol sizes at 600 dpi recomputed by two scripts.
#include <gtest/gtest.h>

#include "sherdmark/base/error.h"
#include "sherdmark/code/symbol.h"

namespace sherdmark {
namespace {

SymbolMatrix square(int modules, int quiet) {
  SymbolMatrix symbol;
  symbol.width_modules = symbol.height_modules = modules;
  symbol.quiet_zone_modules = quiet;
  return symbol;
}

TEST(ModuleSize, fifty_alphanumerics_at_level_m_measure_9_398_mm_at_400_dpi) {
  const SymbolMatrix symbol = make_qr(std::string(50, 'A'), ErrorLevel::m);
  EXPECT_EQ(symbol.version, 3);
  const ModuleSize size = smallest_module(symbol, 0.25, 400);
  EXPECT_EQ(size.dots, 4);
  EXPECT_NEAR(size.module_mm, 0.254, 1e-9);
  EXPECT_NEAR(size.size_mm, 37 * 0.254, 1e-9);  // the source prints 9.398 mm: 29 modules and 4 of margin on each side
}

struct DotsRow {
  double least_mm;
  int dpi;
  int dots;
};

TEST(ModuleSize, the_module_is_at_least_four_dots_and_the_stated_size) {
  const std::vector<DotsRow> rows = {
      // the source's table, 4, 5 and 6 dots
      {0.17, 600, 4},
      {0.21, 600, 5},
      {0.25, 600, 6},
      {0.28, 360, 4},
      {0.35, 360, 5},
      {0.42, 360, 6},
      {0.33, 300, 4},
      {0.42, 300, 5},
      {0.50, 300, 6},
      {0.50, 200, 4},
      {0.63, 200, 5},
      {0.75, 200, 6},
      // what labels use
      {0.42, 600, 10},
      {0.33, 600, 8},
      {0.17, 1200, 8},
      {0.17, 300, 4},
      {0.0, 600, 4},
  };
  for (const DotsRow& row : rows)
    EXPECT_EQ(smallest_module(square(21, 4), row.least_mm, row.dpi).dots, row.dots) << row.least_mm << " " << row.dpi;
}

struct SizeRow {
  int modules;
  int quiet;
  double size_mm;
};

TEST(ModuleSize, symbols_at_600_dpi_and_4_dots_are_as_large_as_computed) {
  const std::vector<SizeRow> rows = {
      {13, 2, 2.88}, {15, 2, 3.22}, {17, 2, 3.56},                 // Micro QR M2, M3, M4
      {21, 4, 4.91}, {25, 4, 5.59}, {29, 4, 6.27},                 // QR 1, 2, 3
      {10, 1, 2.03}, {12, 1, 2.37}, {14, 1, 2.71}, {16, 1, 3.05},  // Data Matrix
  };
  for (const SizeRow& row : rows)
    EXPECT_NEAR(smallest_module(square(row.modules, row.quiet), 0.17, 600).size_mm, row.size_mm, 0.005) << row.modules;
}

TEST(ModuleSize, the_largest_whole_number_of_dots_that_fits_is_taken) {
  const SymbolMatrix symbol = square(29, 4);  // 37 modules with the quiet zone
  const double at_12_dots = 37 * 12 * 25.4 / 600;
  EXPECT_EQ(fit_module(symbol, at_12_dots, 0.42, 600)->dots, 12);
  EXPECT_EQ(fit_module(symbol, at_12_dots - 0.001, 0.42, 600)->dots, 11);
  EXPECT_NEAR(fit_module(symbol, at_12_dots, 0.42, 600)->size_mm, at_12_dots, 1e-9);
  EXPECT_EQ(fit_module(symbol, 37 * 10 * 25.4 / 600, 0.42, 600)->dots, 10);
  EXPECT_FALSE(fit_module(symbol, 37 * 10 * 25.4 / 600 - 0.001, 0.42, 600));
  EXPECT_FALSE(fit_module(symbol, 0, 0.42, 600));
  EXPECT_FALSE(fit_module(symbol, -1, 0.42, 600));
}

struct ChoiceRow {
  std::string number;
  int micro_version;  // 0: too long for Micro QR
  int data_matrix_modules;
};

TEST(MicroCodeChoice, the_longest_number_decides_the_symbol) {
  const std::vector<ChoiceRow> rows = {
      {"12", 2, 12},                   // Y12 and two check characters: 5
      {"12345678", 3, 14},             // 11, most of them digit pairs
      {"16WC5/12/347", 4, 18},         // 17
      {"2031.44.1127", 4, 16},         // 17, with digit pairs
      {"2031.44.1127a", 0, 18},        // 19
      {"41BL1323/1234/12345", 0, 18},  // 24
  };
  for (const ChoiceRow& row : rows) {
    const MicroCodeChoice choice = choose_micro_code(row.number, 0.17, 600);
    EXPECT_EQ(choice.micro_qr ? choice.micro_qr->symbol.version : 0, row.micro_version) << row.number;
    EXPECT_TRUE(!choice.micro_qr || choice.micro_qr->symbol.level >= ErrorLevel::m);
    EXPECT_EQ(choice.data_matrix.symbol.width_modules, row.data_matrix_modules) << row.number;
    EXPECT_EQ(choice.data_matrix.size.dots, 4);
    const double best_mm =
        choice.best == SymbolFormat::micro_qr ? choice.micro_qr->size.size_mm : choice.data_matrix.size.size_mm;
    EXPECT_LE(best_mm, choice.data_matrix.size.size_mm);
    EXPECT_TRUE(!choice.micro_qr || best_mm <= choice.micro_qr->size.size_mm);
  }
  EXPECT_THROW((void)choose_micro_code("", 0.17, 600), Error);
}

}  // namespace
}  // namespace sherdmark
