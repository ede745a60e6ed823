// Symbols on paper that is not flat: rolled round a bottle, or with the wave that a bag throws. Drawn by us, bent by
// geometry that the reader knows nothing of, seeded where there is chance.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

#include "scan/module_grid.h"
#include "sherdmark/base/random.h"
#include "sherdmark/code/symbol.h"
#include "sherdmark/scan/codes.h"

namespace sherdmark {
namespace {

constexpr int k_module_px = 6;
constexpr std::string_view k_text = "SM1K7QDB0A42Z9N16WC5Z312Z3347Z91Q100000101WL";

// Where a point of the picture lies on the flat paper, both in pixels from the symbol's middle.
using Bend = std::function<PointF(const PointF&)>;

GreyPicture photographed(const SymbolMatrix& symbol, const Bend& paper, int noise, std::uint64_t seed) {
  const int side = (symbol.width_modules + 12) * k_module_px;
  GreyPicture picture{side, side};
  SeededRandom random{seed};
  constexpr int k_fine = 3;  // samples a pixel, each way
  for (int y = 0; y < side; ++y) {
    for (int x = 0; x < side; ++x) {
      int light = 0;
      for (int i = 0; i < k_fine * k_fine; ++i) {
        const PointF seen{x + (i % k_fine + 0.5) / k_fine - side / 2.0, y + (i / k_fine + 0.5) / k_fine - side / 2.0};
        const PointF flat = paper(seen);
        const int column = static_cast<int>(std::floor(flat.x / k_module_px + symbol.width_modules / 2.0));
        const int row = static_cast<int>(std::floor(flat.y / k_module_px + symbol.height_modules / 2.0));
        const bool inside = column >= 0 && row >= 0 && column < symbol.width_modules && row < symbol.height_modules;
        light += inside && symbol.is_dark(column, row) ? 45 : 215;
      }
      const int grain =
          noise > 0 ? static_cast<int>(random.below(static_cast<std::uint64_t>(2 * noise + 1))) - noise : 0;
      picture.row(y)[x] = static_cast<std::uint8_t>(std::clamp(light / (k_fine * k_fine) + grain, 0, 255));
    }
  }
  return picture;
}

Bend rolled(double radius_px) {
  return [radius_px](const PointF& p) {
    return PointF{radius_px * std::asin(std::clamp(p.x / radius_px, -0.999, 0.999)), p.y};
  };
}

// The columns crowd towards one side.
Bend rolled_away(double radius_px, double aside_px) {
  return [=](const PointF& p) {
    const auto way = [&](double x) { return radius_px * std::asin(std::clamp(x / radius_px, -0.999, 0.999)); };
    return PointF{way(p.x - aside_px) + way(aside_px), p.y};
  };
}

Bend waved(double height_px, double length_px) {
  return [=](const PointF& p) {
    return PointF{p.x + 0.6 * height_px * std::sin(2 * std::numbers::pi * p.y / length_px),
                  p.y + height_px * std::sin(2 * std::numbers::pi * p.x / length_px)};
  };
}

struct BentRow {
  std::string how;
  Bend paper;
};

const std::vector<BentRow>& bends() {
  static const std::vector<BentRow> k_rows = {
      {"flat", [](const PointF& p) { return p; }},
      {"rolled slightly", rolled(200)},
      {"rolled round a bottle", rolled(130)},
      {"a shallow wave", waved(4, 260)},
      {"a deep wave", waved(8, 260)},
      {"two waves", waved(4, 150)},
  };
  return k_rows;
}

void expect_read(const SymbolMatrix& symbol, std::string_view text) {
  for (const BentRow& row : bends()) {
    const GreyPicture picture = photographed(symbol, row.paper, 8, 42);
    const std::vector<CodeReading> readings = read_codes(picture.view());
    ASSERT_EQ(readings.size(), 1U) << row.how;
    EXPECT_EQ(readings[0].text, text) << row.how;
    EXPECT_EQ(readings[0].format, symbol.format) << row.how;
  }
}

TEST(BentSymbols, a_bag_label_is_read_on_paper_that_is_not_flat) {
  expect_read(make_qr(k_text, ErrorLevel::q), k_text);
}

TEST(BentSymbols, a_data_matrix_is_read_on_paper_that_is_not_flat) {
  expect_read(make_data_matrix("Y16WC5Z312Z3347BK"), "Y16WC5Z312Z3347BK");
}

TEST(BentSymbols, a_data_matrix_whose_columns_crowd_is_read_by_the_marks_of_its_broken_side) {
  for (const double aside_px : {-60.0, 50.0, 60.0}) {
    const std::string_view text = "Y16WC5Z312Z3347BK Y16WC5Z312Z3347BK Y16WC5Z312Z3347BK";
    const GreyPicture picture = photographed(make_data_matrix(text), rolled_away(140, aside_px), 8, 42);
    CodeReadingOptions patient;
    patient.budget_ms = 60'000;
    const std::vector<CodeReading> readings = read_codes(picture.view(), patient);
    ASSERT_EQ(readings.size(), 1U) << aside_px;
    EXPECT_EQ(readings[0].text, text) << aside_px;
  }
}

// Texture that has no code in it must not become one, however hard it is looked at.
TEST(ModuleGrid, a_picture_one_pixel_wide_is_grey_between_the_pixels_it_has) {
  GreyPicture picture{1, 3, 100};
  picture.row(1)[0] = 200;
  EXPECT_DOUBLE_EQ(grey_between(picture.view(), {0.9, 1.5}), 200);
  EXPECT_DOUBLE_EQ(grey_between(picture.view(), {-4, 1.0}), 150);
}

TEST(BentSymbols, noise_is_never_read) {
  SeededRandom random{7};
  for (const int grain_px : {2, 3, 5, 8}) {
    GreyPicture picture{220, 220};
    for (int y = 0; y < 220; y += grain_px)
      for (int x = 0; x < 220; x += grain_px) {
        const auto grey = static_cast<std::uint8_t>(random.below(2) == 0 ? 40 : 210);
        for (int i = 0; i < grain_px * grain_px; ++i)
          if (x + i % grain_px < 220 && y + i / grain_px < 220) picture.row(y + i / grain_px)[x + i % grain_px] = grey;
      }
    EXPECT_TRUE(read_codes(picture.view()).empty()) << grain_px;
  }
}

}  // namespace
}  // namespace sherdmark
