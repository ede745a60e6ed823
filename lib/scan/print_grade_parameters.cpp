#include "scan/print_grade_parameters.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace sherdmark {
namespace {

using Limits = std::array<double, 4>;  // for grades 4, 3, 2, 1

constexpr double k_rounding = 1e-9;

int grade_at_least(double value, const Limits& floors) {
  for (std::size_t i = 0; i < 4; ++i)
    if (value >= floors[i] - k_rounding) return 4 - static_cast<int>(i);
  return 0;
}

int grade_at_most(double value, const Limits& ceilings) {
  for (std::size_t i = 0; i < 4; ++i)
    if (value <= ceilings[i] + k_rounding) return 4 - static_cast<int>(i);
  return 0;
}

constexpr Limits k_contrast = {0.70, 0.55, 0.40, 0.20};
constexpr Limits k_margin = {0.50, 0.40, 0.30, 0.20};
constexpr Limits k_axial = {0.06, 0.08, 0.10, 0.12};
constexpr Limits k_grid = {0.38, 0.50, 0.63, 0.75};
constexpr Limits k_unused = {0.62, 0.50, 0.37, 0.25};
constexpr Limits k_quiet = {0.0, 0.07, 0.11, 0.14};  // of the ring's modules: this project's own

double unused(int wrong, int capacity) {
  if (capacity <= 0) return wrong == 0 ? 1 : 0;
  return std::max(0.0, 1 - 2.0 * wrong / capacity);
}

// The lowest margin of a codeword's modules.
double margin_of(const GradedSymbol& symbol, const CodewordPlace& place) {
  const int side = symbol.modules.side();
  double least = 1;
  for (const int module : place.modules) {
    const int x = module % side;
    const int y = module / side;
    least = std::min(least, symbol.modules.margin(x, y, symbol.decode.printed.is_dark(x, y)));
  }
  return least;
}

}  // namespace

MeasuredModules::MeasuredModules(const MeasuredGrid& grid, int quiet_modules)
    : side_(grid.side()), quiet_(quiet_modules), least_(1) {
  for (int row = -quiet_; row < side_ + quiet_; ++row) {
    for (int column = -quiet_; column < side_ + quiet_; ++column) {
      const double light = grid.light(column + 0.5, row + 0.5);
      lights_.push_back(light);
      if (std::min(column, row) < -1 || std::max(column, row) > side_) continue;
      most_ = std::max(most_, light);
      least_ = std::min(least_, light);
    }
  }
}

double MeasuredModules::light(int column, int row) const {
  const int width = side_ + 2 * quiet_;
  return lights_[static_cast<std::size_t>((row + quiet_) * width + column + quiet_)];
}

double MeasuredModules::margin(int column, int row, bool printed_dark) const {
  if (is_dark(column, row) != printed_dark || most_ <= least_) return 0;
  return 2 * std::abs(light(column, row) - threshold()) / (most_ - least_);
}

SymbolMatrix MeasuredModules::by_threshold(SymbolFormat format) const {
  SymbolMatrix matrix;
  matrix.format = format;
  matrix.width_modules = matrix.height_modules = side_;
  for (int y = 0; y < side_; ++y)
    for (int x = 0; x < side_; ++x) matrix.dark.push_back(is_dark(x, y) ? 1 : 0);
  return matrix;
}

SymbolMatrix MeasuredModules::by_surroundings(SymbolFormat format) const {
  constexpr int k_about = 3;
  SymbolMatrix matrix = by_threshold(format);
  for (int y = 0; y < side_; ++y) {
    for (int x = 0; x < side_; ++x) {
      double least = 1;
      double most = 0;
      for (int row = std::max(-1, y - k_about); row <= std::min(side_, y + k_about); ++row) {
        for (int column = std::max(-1, x - k_about); column <= std::min(side_, x + k_about); ++column) {
          least = std::min(least, light(column, row));
          most = std::max(most, light(column, row));
        }
      }
      matrix.dark[static_cast<std::size_t>(y * side_ + x)] = light(x, y) < (least + most) / 2 ? 1 : 0;
    }
  }
  return matrix;
}

int margin_grade(double margin) { return grade_at_least(margin, k_margin); }

ParameterGrade contrast_grade(const MeasuredModules& modules, double paper_reflectance) {
  const double share = modules.most() > 0 ? 1 - modules.least() / modules.most() : 0;
  const double contrast = paper_reflectance * share;
  return {GradeParameter::symbol_contrast, grade_at_least(contrast, k_contrast), contrast};
}

// The overlay: at each level, every codeword whose worst module is below it counts as an error; what is then left of
// the error correction is graded, and the best level that both bear is the grade.
ParameterGrade modulation_grade(const GradedSymbol& symbol) {
  std::vector<std::pair<int, int>> codewords;  // block, grade of the worst module
  double least = 1;
  for (const CodewordPlace& place : symbol.decode.codewords) {
    const double margin = margin_of(symbol, place);
    least = std::min(least, margin);
    codewords.emplace_back(place.block, margin_grade(margin));
  }
  int best = 0;
  for (int level = 4; level > best; --level) {
    int notional = 4;
    for (std::size_t block = 0; block < symbol.decode.blocks.size(); ++block) {
      const auto below = std::ranges::count_if(codewords, [&](const auto& codeword) {
        return codeword.first == static_cast<int>(block) && codeword.second < level;
      });
      const double left = unused(static_cast<int>(below), symbol.decode.blocks[block].capacity());
      notional = std::min(notional, grade_at_least(left, k_unused));
    }
    best = std::max(best, std::min(level, notional));
  }
  return {GradeParameter::modulation, best, least};
}

ParameterGrade axial_grade(const MeasuredGrid& grid) {
  const double across = grid.across_px();
  const double down = grid.down_px();
  const double value = std::abs(across - down) / ((across + down) / 2);
  return {GradeParameter::axial_nonuniformity, grade_at_most(value, k_axial), value};
}

ParameterGrade grid_grade(const MeasuredGrid& grid) {
  const double value = grid.largest_displacement();
  return {GradeParameter::grid_nonuniformity, grade_at_most(value, k_grid), value};
}

ParameterGrade unused_correction_grade(const ReferenceDecode& decode) {
  double least = 1;
  for (const BlockDecode& block : decode.blocks) least = std::min(least, unused(block.wrong, block.capacity()));
  return {GradeParameter::unused_error_correction, grade_at_least(least, k_unused), least};
}

ParameterGrade quiet_zone_grade(const MeasuredModules& modules) {
  int all = 0;
  int dark = 0;
  for (int y = -modules.quiet(); y < modules.side() + modules.quiet(); ++y) {
    for (int x = -modules.quiet(); x < modules.side() + modules.quiet(); ++x) {
      if (x >= 0 && y >= 0 && x < modules.side() && y < modules.side()) continue;
      ++all;
      if (modules.is_dark(x, y)) ++dark;
    }
  }
  const double share = all == 0 ? 0 : static_cast<double>(dark) / all;
  return {GradeParameter::quiet_zone, grade_at_most(share, k_quiet), share};
}

// How much wider than printed the dark bars of the alternating lines are, by the crossings of the threshold.
std::optional<double> print_growth(const GradedSymbol& symbol) {
  constexpr int k_steps = 16;  // a module
  const int side = symbol.frame.side_modules;
  double printed = 0;
  double seen = 0;
  int bars = 0;
  for (int y = 0; y < side; ++y) {
    for (int x = 0; x < side; ++x) {
      const auto at = [&](int cx, int cy) {
        return cx >= 0 && cy >= 0 && cx < side && cy < side &&
               symbol.frame.parts[static_cast<std::size_t>(cy * side + cx)] == ModulePart::timing;
      };
      // A dark module of a line, with its light neighbours on the line, half of each.
      const bool across = at(x - 1, y) && at(x + 1, y);
      const bool down = at(x, y - 1) && at(x, y + 1);
      if (!at(x, y) || across == down || !symbol.decode.printed.is_dark(x, y)) continue;
      int dark = 0;
      for (int step = 0; step < 2 * k_steps; ++step) {
        const double along = -0.5 + (step + 0.5) / k_steps;
        const PointF place = symbol.grid.place(across ? x + along : x + 0.5, across ? y + 0.5 : y + along);
        if (light_of(symbol.grid.level_at_point(place)) < symbol.modules.threshold()) ++dark;
      }
      seen += static_cast<double>(dark) / k_steps;
      printed += 1;
      ++bars;
    }
  }
  if (bars == 0) return std::nullopt;
  return (seen - printed) / bars;
}

}  // namespace sherdmark
