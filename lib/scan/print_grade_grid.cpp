#include "scan/print_grade_grid.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "scan/bent_symbols.h"

namespace sherdmark {
namespace {

constexpr double k_aperture_modules = 0.8;  // of the module (check values: 80 % of the least X dimension)
constexpr int k_passes = 3;                 // of settling
constexpr int k_reach = 2;                  // modules on each side of a corner that tell where it lies
constexpr double k_shift_modules = 0.2;     // between the tried places of a corner
constexpr double k_reluctance = 0.02;       // to move where the modules say nothing about a direction
constexpr double k_seen_modules = 0.9;      // size of a module when corners are looked for
constexpr std::size_t k_most_fitted = 4;    // sizes and turns whose grid is fitted
constexpr double k_least_match = 0.8;       // of what is known beforehand

// Gauss's elimination with the largest pivot; the last column is the right side.
using Equations = std::array<std::array<double, 9>, 8>;
std::optional<std::array<double, 8>> solved(Equations m) {
  for (std::size_t column = 0; column < 8; ++column) {
    std::size_t pivot = column;
    for (std::size_t row = column + 1; row < 8; ++row)
      if (std::abs(m[row][column]) > std::abs(m[pivot][column])) pivot = row;
    if (std::abs(m[pivot][column]) < 1e-12) return std::nullopt;
    std::swap(m[pivot], m[column]);
    for (std::size_t row = 0; row < 8; ++row) {
      if (row == column) continue;
      const double factor = m[row][column] / m[column][column];
      for (std::size_t i = column; i < 9; ++i) m[row][i] -= factor * m[column][i];
    }
  }
  std::array<double, 8> solution{};
  for (std::size_t i = 0; i < 8; ++i) solution[i] = m[i][8] / m[i][i];
  return solution;
}

// The plane that passes best, in least squares, through points of the unit square: its four corners.
std::optional<Corners> best_plane(const std::vector<PointF>& unit, const std::vector<PointF>& seen) {
  Equations normal{};
  const auto add = [&normal](const std::array<double, 9>& row) {
    for (std::size_t i = 0; i < 8; ++i)
      for (std::size_t j = 0; j < 9; ++j) normal[i][j] += row[i] * row[j];
  };
  for (std::size_t i = 0; i < unit.size(); ++i) {
    const auto [u, v] = unit[i];
    const auto [x, y] = seen[i];
    add({u, v, 1, 0, 0, 0, -u * x, -v * x, x});
    add({0, 0, 0, u, v, 1, -u * y, -v * y, y});
  }
  const auto h = solved(normal);
  if (!h) return std::nullopt;
  const auto at = [&h](double u, double v) {
    const double w = (*h)[6] * u + (*h)[7] * v + 1;
    return PointF{((*h)[0] * u + (*h)[1] * v + (*h)[2]) / w, ((*h)[3] * u + (*h)[4] * v + (*h)[5]) / w};
  };
  return Corners{at(0, 0), at(1, 0), at(1, 1), at(0, 1)};
}

GridShape shape_of(const SymbolFrame& frame) {
  GridShape shape{frame.side_modules, frame.side_modules, {}};
  for (std::size_t i = 0; i < frame.parts.size(); ++i) {
    const ModulePart part = frame.parts[i];
    const bool known = part != ModulePart::data && part != ModulePart::format;
    shape.known.push_back(!known ? Module::unknown : frame.dark[i] != 0 ? Module::dark : Module::light);
  }
  return shape;
}

struct GridTry {
  int side = 0;
  std::size_t turn = 0;
  double match = 0;
};

Corners turned(const Corners& corners, std::size_t turn) {
  Corners result;
  for (std::size_t i = 0; i < 4; ++i) result[i] = corners[(i + turn) % 4];
  return result;
}

// Where the highest of three values at -1, 0 and 1 lies.
double top_of(double before, double middle, double after) {
  const double bend = before - 2 * middle + after;
  return bend < -1e-9 ? std::clamp(0.5 * (before - after) / bend, -0.5, 0.5) : 0;
}

}  // namespace

double light_of(double level) {
  const double share = level / 255;
  return share <= 0.04045 ? share / 12.92 : std::pow((share + 0.055) / 1.055, 2.4);
}

MeasuredGrid::MeasuredGrid(const GreyView& picture, const std::vector<PointF>& corners, int side)
    : picture_(picture),
      side_(side),
      plane_({corners[index(0, 0)], corners[index(side, 0)], corners[index(side, side)], corners[index(0, side)]}),
      shifts_(corners.size()) {
  for (int row = 0; row <= side; ++row) {
    for (int column = 0; column <= side; ++column) {
      const PointF flat = plane_(static_cast<double>(column) / side, static_cast<double>(row) / side);
      const PointF& seen = corners[index(column, row)];
      shifts_[index(column, row)] = {seen.x - flat.x, seen.y - flat.y};
    }
  }
}

Corners MeasuredGrid::corners() const {
  const double s = side_;
  return {place(0, 0), place(s, 0), place(s, s), place(0, s)};
}

double MeasuredGrid::across_px() const {
  double sum = 0;
  for (int row = 0; row <= side_; ++row) sum += distance(place(0, row), place(side_, row));
  return sum / (side_ + 1) / side_;
}

double MeasuredGrid::down_px() const {
  double sum = 0;
  for (int column = 0; column <= side_; ++column) sum += distance(place(column, 0), place(column, side_));
  return sum / (side_ + 1) / side_;
}

double MeasuredGrid::module_px() const { return (across_px() + down_px()) / 2; }

PointF MeasuredGrid::place(double column, double row) const {
  const PointF flat = plane_(column / side_, row / side_);
  const double x = std::clamp(column, 0.0, static_cast<double>(side_));
  const double y = std::clamp(row, 0.0, static_cast<double>(side_));
  const int left = std::min(static_cast<int>(x), side_ - 1);
  const int top = std::min(static_cast<int>(y), side_ - 1);
  const double fx = x - left;
  const double fy = y - top;
  const auto blend = [&](double PointF::*axis) {
    return (shifts_[index(left, top)].*axis * (1 - fx) + shifts_[index(left + 1, top)].*axis * fx) * (1 - fy) +
           (shifts_[index(left, top + 1)].*axis * (1 - fx) + shifts_[index(left + 1, top + 1)].*axis * fx) * fy;
  };
  return {flat.x + blend(&PointF::x), flat.y + blend(&PointF::y)};
}

double MeasuredGrid::light(double column, double row) const {
  constexpr int k_steps = 3;  // from the middle to the rim
  constexpr double k_step = k_aperture_modules / 2 / k_steps;
  double sum = 0;
  int count = 0;
  for (int y = -k_steps; y <= k_steps; ++y) {
    for (int x = -k_steps; x <= k_steps; ++x) {
      if (x * x + y * y > k_steps * k_steps) continue;
      sum += light_of(grey_between(picture_, place(column + x * k_step, row + y * k_step)));
      ++count;
    }
  }
  return sum / count;
}

double MeasuredGrid::level_at_point(const PointF& place) const { return grey_between(picture_, place); }

double MeasuredGrid::level(double column, double row, double size_modules, const PointF& shift) const {
  double sum = 0;
  for (const double dy : {-1.0, 0.0, 1.0}) {
    for (const double dx : {-1.0, 0.0, 1.0}) {
      const PointF p = place(column + dx * size_modules / 3, row + dy * size_modules / 3);
      sum += grey_between(picture_, {p.x + shift.x, p.y + shift.y});
    }
  }
  return sum / 9;
}

// From module -1 to side, both ways: the module round the symbol is seen as well.
std::vector<MeasuredGrid::ShiftedLevels> MeasuredGrid::levels_of_modules() const {
  const double step = k_shift_modules * module_px();
  std::vector<ShiftedLevels> levels;
  for (int row = -1; row <= side_; ++row) {
    for (int column = -1; column <= side_; ++column) {
      ShiftedLevels one{};
      for (std::size_t i = 0; i < one.size(); ++i) {
        const std::size_t across = i % 5, down = i / 5;
        one[i] = level(column + 0.5, row + 0.5, k_seen_modules,
                       {(static_cast<double>(across) - 2) * step, (static_cast<double>(down) - 2) * step});
      }
      levels.push_back(one);
    }
  }
  return levels;
}

// Where the modules about a corner stand out most from each other, by their printed colours; nothing where they are too
// much alike to tell.
std::optional<PointF> MeasuredGrid::best_shift(const SymbolMatrix& printed, const std::vector<ShiftedLevels>& levels,
                                               int column, int row) const {
  ShiftedLevels dark_sum{};
  ShiftedLevels light_sum{};
  int dark = 0;
  int light = 0;
  for (int y = std::max(-1, row - k_reach); y < std::min(side_ + 1, row + k_reach); ++y) {
    for (int x = std::max(-1, column - k_reach); x < std::min(side_ + 1, column + k_reach); ++x) {
      const bool is_dark = x >= 0 && y >= 0 && x < side_ && y < side_ && printed.is_dark(x, y);
      const ShiftedLevels& seen = levels[static_cast<std::size_t>((y + 1) * (side_ + 2) + x + 1)];
      ShiftedLevels& sum = is_dark ? dark_sum : light_sum;
      for (std::size_t i = 0; i < sum.size(); ++i) sum[i] += seen[i];
      ++(is_dark ? dark : light);
    }
  }
  if (dark < 3 || light < 3) return std::nullopt;
  ShiftedLevels worth{};
  for (std::size_t i = 0; i < worth.size(); ++i) worth[i] = light_sum[i] / light - dark_sum[i] / dark;
  const double here = std::abs(worth[12]);
  std::size_t best = 12;
  for (std::size_t i = 0; i < worth.size(); ++i) {
    const std::size_t across = i % 5, down = i / 5;
    const double sx = static_cast<double>(across) - 2;
    const double sy = static_cast<double>(down) - 2;
    worth[i] -= k_reluctance * here * (sx * sx + sy * sy);
  }
  for (std::size_t i = 0; i < worth.size(); ++i)
    if (worth[i] > worth[best]) best = i;
  const std::size_t x = best % 5;
  const std::size_t y = best / 5;
  PointF shift{static_cast<double>(x) - 2, static_cast<double>(y) - 2};
  if (x > 0 && x < 4) shift.x += top_of(worth[best - 1], worth[best], worth[best + 1]);
  if (y > 0 && y < 4) shift.y += top_of(worth[best - 5], worth[best], worth[best + 5]);
  const double step = k_shift_modules * module_px();
  return PointF{shift.x * step, shift.y * step};
}

// Each corner takes the mean of what its near ones say, so that a single speck moves nothing.
void MeasuredGrid::smooth() {
  std::vector<PointF> smoothed = shifts_;
  for (int row = 0; row <= side_; ++row) {
    for (int column = 0; column <= side_; ++column) {
      PointF sum{};
      double weights = 0;
      for (int dy = -1; dy <= 1; ++dy) {
        for (int dx = -1; dx <= 1; ++dx) {
          const int x = column + dx;
          const int y = row + dy;
          if (x < 0 || y < 0 || x > side_ || y > side_) continue;
          const double weight = (dx == 0 ? 2 : 1) * (dy == 0 ? 2 : 1);
          sum = {sum.x + weight * shifts_[index(x, y)].x, sum.y + weight * shifts_[index(x, y)].y};
          weights += weight;
        }
      }
      smoothed[index(column, row)] = {sum.x / weights, sum.y / weights};
    }
  }
  shifts_ = std::move(smoothed);
}

void MeasuredGrid::settle(const SymbolMatrix& printed) {
  for (int pass = 0; pass < k_passes; ++pass) {
    const std::vector<ShiftedLevels> levels = levels_of_modules();
    std::vector<PointF> moved = shifts_;
    std::vector<bool> known(shifts_.size(), false);
    std::vector<PointF> unit;
    std::vector<PointF> seen;
    for (int row = 0; row <= side_; ++row) {
      for (int column = 0; column <= side_; ++column) {
        const auto shift = best_shift(printed, levels, column, row);
        if (!shift) continue;
        known[index(column, row)] = true;
        PointF& own = moved[index(column, row)];
        own = {own.x + shift->x, own.y + shift->y};
        const PointF flat = plane_(static_cast<double>(column) / side_, static_cast<double>(row) / side_);
        unit.push_back({static_cast<double>(column) / side_, static_cast<double>(row) / side_});
        seen.push_back({flat.x + own.x, flat.y + own.y});
      }
    }
    const auto corners = unit.size() < 4 ? std::nullopt : best_plane(unit, seen);
    if (!corners) return;
    const Perspective before = plane_;
    plane_ = Perspective{*corners};
    for (int row = 0; row <= side_; ++row) {
      for (int column = 0; column <= side_; ++column) {
        const double u = static_cast<double>(column) / side_;
        const double v = static_cast<double>(row) / side_;
        const PointF old = before(u, v);
        const PointF now = plane_(u, v);
        const PointF& own = moved[index(column, row)];
        // A corner that tells nothing lies where the plane has it.
        shifts_[index(column, row)] =
            known[index(column, row)] ? PointF{old.x + own.x - now.x, old.y + own.y - now.y} : PointF{};
      }
    }
    smooth();
  }
}

double MeasuredGrid::largest_displacement() const {
  double largest = 0;
  for (const PointF& shift : shifts_) largest = std::max(largest, std::hypot(shift.x, shift.y));
  return largest / module_px();
}

std::optional<FoundGrid> find_grid(const GreyView& picture, const CodeReading& reading) {
  const double threshold = best_threshold(picture);
  std::vector<GridTry> tries;
  const auto shape = [&reading](int side) { return shape_of(*symbol_frame(reading.format, side)); };
  for (const int side : symbol_sides(reading.format)) {
    const GridShape known = shape(side);
    for (std::size_t turn = 0; turn < 4; ++turn)
      tries.push_back({side, turn, ModuleGrid{picture, turned(reading.corners, turn), known, threshold}.match()});
  }
  std::stable_sort(tries.begin(), tries.end(), [](const GridTry& a, const GridTry& b) { return a.match > b.match; });
  if (tries.size() > k_most_fitted) tries.resize(k_most_fitted);
  std::optional<FoundGrid> best;
  double best_match = 0;
  for (const GridTry& one : tries) {
    const GridShape known = shape(one.side);
    ModuleGrid grid{picture, turned(reading.corners, one.turn), known, threshold};
    grid.fit();
    const double match = grid.match();
    if (match < k_least_match || match <= best_match) continue;
    best_match = match;
    grid.bend();
    best = FoundGrid{{}, *symbol_frame(reading.format, one.side)};
    for (int row = 0; row <= one.side; ++row)
      for (int column = 0; column <= one.side; ++column) best->corners.push_back(grid.place(column, row));
  }
  return best;
}

}  // namespace sherdmark
