#include "scan/module_grid.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace sherdmark {
namespace {

constexpr double k_stiffness = 3.0;  // of the field of shifts, against the gain of whole modules
constexpr double k_known_weight = 2.0;
constexpr double k_probe = 0.2;  // a module is looked at in its middle and this far from it
constexpr double k_finest_cell_modules = 4;

}  // namespace

double grey_between(const GreyView& picture, const PointF& p) {
  const double x = std::clamp(p.x - 0.5, 0.0, std::max(0.0, picture.width_px - 1.001));
  const double y = std::clamp(p.y - 0.5, 0.0, std::max(0.0, picture.height_px - 1.001));
  const int left = static_cast<int>(x);
  const int top = static_cast<int>(y);
  const int right = std::min(left + 1, picture.width_px - 1);
  const int bottom = std::min(top + 1, picture.height_px - 1);
  const double fx = x - left;
  const double fy = y - top;
  return (picture.at(left, top) * (1 - fx) + picture.at(right, top) * fx) * (1 - fy) +
         (picture.at(left, bottom) * (1 - fx) + picture.at(right, bottom) * fx) * fy;
}

double distance(const PointF& a, const PointF& b) { return std::hypot(a.x - b.x, a.y - b.y); }

Perspective::Perspective(const Corners& q) {
  const double sx = q[0].x - q[1].x + q[2].x - q[3].x;
  const double sy = q[0].y - q[1].y + q[2].y - q[3].y;
  const double dx1 = q[1].x - q[2].x;
  const double dx2 = q[3].x - q[2].x;
  const double dy1 = q[1].y - q[2].y;
  const double dy2 = q[3].y - q[2].y;
  const double determinant = dx1 * dy2 - dx2 * dy1;
  g_ = determinant == 0 ? 0 : (sx * dy2 - dx2 * sy) / determinant;
  h_ = determinant == 0 ? 0 : (dx1 * sy - sx * dy1) / determinant;
  a_ = q[1].x - q[0].x + g_ * q[1].x;
  b_ = q[3].x - q[0].x + h_ * q[3].x;
  c_ = q[0].x;
  d_ = q[1].y - q[0].y + g_ * q[1].y;
  e_ = q[3].y - q[0].y + h_ * q[3].y;
  f_ = q[0].y;
}

PointF Perspective::operator()(double u, double v) const {
  const double w = g_ * u + h_ * v + 1;
  const double safe = std::abs(w) < 1e-6 ? 1e-6 : w;
  const PointF p{(a_ * u + b_ * v + c_) / safe, (d_ * u + e_ * v + f_) / safe};
  return std::isfinite(p.x) && std::isfinite(p.y) ? p : PointF{c_, f_};
}

ModuleGrid::ModuleGrid(const GreyView& picture, const Corners& corners, const GridShape& shape, double threshold,
                       Spacing spacing)
    : picture_(picture),
      flat_(corners),
      shape_(shape),
      threshold_(threshold),
      spacing_(std::move(spacing)),
      shifts_(4) {
  module_px_ = (distance(corners[0], corners[1]) / shape.columns + distance(corners[0], corners[3]) / shape.rows) / 2;
}

PointF& ModuleGrid::node(int column, int row) {
  return shifts_[static_cast<std::size_t>(row) * (static_cast<std::size_t>(cells_) + 1) +
                 static_cast<std::size_t>(column)];
}
const PointF& ModuleGrid::node(int column, int row) const {
  return shifts_[static_cast<std::size_t>(row) * (static_cast<std::size_t>(cells_) + 1) +
                 static_cast<std::size_t>(column)];
}

// Before it is bent.
PointF ModuleGrid::flat_place(double column, double row) const {
  const auto share = [](const std::vector<double>& borders, double at, int modules) {
    if (borders.empty()) return at / modules;
    const int before = std::clamp(static_cast<int>(at), 0, modules - 1);
    const double from = borders[static_cast<std::size_t>(before)], to = borders[static_cast<std::size_t>(before) + 1];
    return from + (at - before) * (to - from);
  };
  return flat_(share(spacing_.columns, column, shape_.columns), share(spacing_.rows, row, shape_.rows));
}

PointF ModuleGrid::place(double column, double row) const {
  const double u = column / shape_.columns;
  const double v = row / shape_.rows;
  const PointF flat = flat_place(column, row);
  const double x = std::clamp(u, 0.0, 1.0) * cells_;
  const double y = std::clamp(v, 0.0, 1.0) * cells_;
  const int left = std::min(static_cast<int>(x), cells_ - 1);
  const int top = std::min(static_cast<int>(y), cells_ - 1);
  const double fx = x - left;
  const double fy = y - top;
  const auto blend = [&](double PointF::*axis) {
    return (node(left, top).*axis * (1 - fx) + node(left + 1, top).*axis * fx) * (1 - fy) +
           (node(left, top + 1).*axis * (1 - fx) + node(left + 1, top + 1).*axis * fx) * fy;
  };
  return {flat.x + blend(&PointF::x), flat.y + blend(&PointF::y)};
}

double ModuleGrid::sample(double column, double row) const {
  const PointF middle = place(column, row);
  const double probe = k_probe * module_px_;
  double sum = grey_between(picture_, middle);
  for (const auto& [dx, dy] : {std::pair{-1.0, 0.0}, {1.0, 0.0}, {0.0, -1.0}, {0.0, 1.0}})
    sum += grey_between(picture_, {middle.x + dx * probe, middle.y + dy * probe});
  return sum / 5;
}

// How far the modules round a node are from the threshold, in levels of grey; known ones on their right side.
double ModuleGrid::gain_near(int node_column, int node_row, bool known_only) const {
  const double cell_columns = static_cast<double>(shape_.columns) / cells_;
  const double cell_rows = static_cast<double>(shape_.rows) / cells_;
  const int first_column = std::max(0, static_cast<int>((node_column - 1) * cell_columns));
  const int last_column = std::min(shape_.columns - 1, static_cast<int>((node_column + 1) * cell_columns));
  const int first_row = std::max(0, static_cast<int>((node_row - 1) * cell_rows));
  const int last_row = std::min(shape_.rows - 1, static_cast<int>((node_row + 1) * cell_rows));
  double gain = 0;
  int seen = 0;
  for (int row = first_row; row <= last_row; ++row) {
    for (int column = first_column; column <= last_column; ++column) {
      if (known_only && shape_.at(column, row) == Module::unknown) continue;
      ++seen;
      const double lightness = sample(column + 0.5, row + 0.5) - threshold_;
      switch (shape_.at(column, row)) {
        case Module::unknown:
          gain += std::abs(lightness);
          break;
        case Module::light:
          gain += k_known_weight * lightness;
          break;
        case Module::dark:
          gain -= k_known_weight * lightness;
          break;
      }
    }
  }
  return seen == 0 ? 0 : gain / seen;
}

double ModuleGrid::strain(int column, int row) const {
  double sum = 0;
  const PointF& own = node(column, row);
  for (const auto& [dc, dr] : {std::pair{-1, 0}, {1, 0}, {0, -1}, {0, 1}}) {
    const int c = column + dc;
    const int r = row + dr;
    if (c < 0 || r < 0 || c > cells_ || r > cells_) continue;
    const double bent = distance(own, node(c, r)) / module_px_;
    sum += bent * bent;
  }
  return sum;
}

// The same field on a finer net.
void ModuleGrid::divide(int cells) {
  std::vector<PointF> finer;
  for (int row = 0; row <= cells; ++row) {
    for (int column = 0; column <= cells; ++column) {
      const double u = static_cast<double>(column) / cells;
      const double v = static_cast<double>(row) / cells;
      const PointF bent = place(u * shape_.columns, v * shape_.rows);
      const PointF flat = flat_place(u * shape_.columns, v * shape_.rows);
      finer.push_back({bent.x - flat.x, bent.y - flat.y});
    }
  }
  shifts_ = std::move(finer);
  cells_ = cells;
}

void ModuleGrid::settle(double step_modules, bool known_only) {
  const double step = step_modules * module_px_;
  for (int row = 0; row <= cells_; ++row) {
    for (int column = 0; column <= cells_; ++column) {
      const PointF start = node(column, row);
      PointF best = start;
      double best_worth = gain_near(column, row, known_only) - k_stiffness * strain(column, row);
      for (int dy = -1; dy <= 1; ++dy) {
        for (int dx = -1; dx <= 1; ++dx) {
          if (dx == 0 && dy == 0) continue;
          node(column, row) = {start.x + dx * step, start.y + dy * step};
          const double worth = gain_near(column, row, known_only) - k_stiffness * strain(column, row);
          if (worth <= best_worth) continue;
          best_worth = worth;
          best = node(column, row);
        }
      }
      node(column, row) = best;
    }
  }
}

void ModuleGrid::fit() {
  for (const int cells : {1, 2}) {
    divide(cells);
    for (const double step : {0.8, 0.6, 0.6, 0.4, 0.25}) settle(step, true);
  }
}

void ModuleGrid::bend() {
  const int finest = std::max(2, static_cast<int>(std::min(shape_.columns, shape_.rows) / k_finest_cell_modules));
  for (const int cells : {2, 4, finest}) {
    if (cells > finest || cells < cells_) continue;
    divide(cells);
    for (const double step : {0.6, 0.4, 0.25, 0.15}) settle(step, false);
  }
}

double ModuleGrid::match() const {
  int known = 0;
  int right = 0;
  for (int row = 0; row < shape_.rows; ++row) {
    for (int column = 0; column < shape_.columns; ++column) {
      if (shape_.at(column, row) == Module::unknown) continue;
      ++known;
      const bool dark = sample(column + 0.5, row + 0.5) < threshold_;
      if (dark == (shape_.at(column, row) == Module::dark)) ++right;
    }
  }
  return known == 0 ? 0 : static_cast<double>(right) / known;
}

GreyPicture ModuleGrid::redrawn(int module_px) const {
  constexpr int k_quiet = 4;
  GreyPicture picture{(shape_.columns + 2 * k_quiet) * module_px, (shape_.rows + 2 * k_quiet) * module_px};
  for (int row = 0; row < shape_.rows; ++row) {
    for (int column = 0; column < shape_.columns; ++column) {
      const Module known = shape_.at(column, row);
      const bool dark = known == Module::unknown ? sample(column + 0.5, row + 0.5) < threshold_ : known == Module::dark;
      if (!dark) continue;
      for (int y = 0; y < module_px; ++y)
        std::fill_n(picture.row((row + k_quiet) * module_px + y) + (column + k_quiet) * module_px, module_px,
                    std::uint8_t{0});
    }
  }
  return picture;
}

Corners ModuleGrid::corners() const {
  return {place(0, 0), place(shape_.columns, 0), place(shape_.columns, shape_.rows), place(0, shape_.rows)};
}

}  // namespace sherdmark
