// A bent Data Matrix: the dark shape that is largest, its four sides, and of all sizes the one whose border fits.
#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "scan/bent_symbols.h"
#include "scan/module_grid.h"
#include "scan/timing_marks.h"
#include "scan/zxing_reader.h"

namespace sherdmark {
namespace {

// Rows and columns of ISO/IEC 16022 symbols, and how many regions they have each way.
struct Size {
  int rows, columns, regions_down, regions_across;
};
constexpr std::array k_sizes = {
    Size{10, 10, 1, 1}, Size{12, 12, 1, 1}, Size{14, 14, 1, 1}, Size{16, 16, 1, 1}, Size{18, 18, 1, 1},
    Size{20, 20, 1, 1}, Size{22, 22, 1, 1}, Size{24, 24, 1, 1}, Size{26, 26, 1, 1}, Size{32, 32, 2, 2},
    Size{36, 36, 2, 2}, Size{40, 40, 2, 2}, Size{44, 44, 2, 2}, Size{48, 48, 2, 2}, Size{52, 52, 2, 2},
    Size{64, 64, 4, 4}, Size{72, 72, 4, 4}, Size{8, 18, 1, 1},  Size{8, 32, 1, 2},  Size{12, 26, 1, 1},
    Size{12, 36, 1, 2}, Size{16, 36, 1, 2}, Size{16, 48, 1, 2},
};

constexpr int k_least_side_px = 20;
constexpr std::size_t k_most_hull = 20;  // corners of the outline that are tried for the symbol's four
constexpr std::size_t k_most_tries = 5;  // sizes and turns that are bent and read
constexpr double k_about_share = 0.06;   // of the symbol's side: how far off it its loose modules may lie
constexpr double k_least_module_px = 1.5;
constexpr double k_most_stretched = 1.8;
constexpr double k_marks_better_by = 0.1;  // of the known modules
constexpr double k_least_fitted_match = 0.8;
constexpr double k_least_bent_match = 0.9;
constexpr int k_redrawn_module_px = 4;

GridShape shape_of(const Size& size) {
  GridShape shape{size.columns, size.rows, {}};
  const int region_rows = size.rows / size.regions_down;
  const int region_columns = size.columns / size.regions_across;
  for (int y = 0; y < size.rows; ++y) {
    for (int x = 0; x < size.columns; ++x) {
      const int in_x = x % region_columns;
      const int in_y = y % region_rows;
      Module module = Module::unknown;
      if (in_x == 0 || in_y == region_rows - 1) {
        module = Module::dark;
      } else if (in_y == 0) {
        module = in_x % 2 == 0 ? Module::dark : Module::light;
      } else if (in_x == region_columns - 1) {
        module = in_y % 2 == 1 ? Module::dark : Module::light;
      }
      shape.known.push_back(module);
    }
  }
  return shape;
}

double cross(const PointF& o, const PointF& a, const PointF& b) {
  return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
}

// Outline of the points, clockwise as seen in a picture, without its slightest corners.
std::vector<PointF> hull_of(std::vector<PointF> points) {
  std::sort(points.begin(), points.end(),
            [](const PointF& a, const PointF& b) { return a.x < b.x || (a.x == b.x && a.y < b.y); });
  std::vector<PointF> hull;
  if (points.size() < 4) return hull;
  for (int pass = 0; pass < 2; ++pass) {
    const std::size_t start = hull.size();
    for (const PointF& p : points) {
      while (hull.size() >= start + 2 && cross(hull[hull.size() - 2], hull.back(), p) <= 0) hull.pop_back();
      hull.push_back(p);
    }
    hull.pop_back();
    std::reverse(points.begin(), points.end());
  }
  while (hull.size() > k_most_hull) {  // drops the corner that encloses least
    std::size_t slightest = 0;
    double least = 1e300;
    for (std::size_t i = 0; i < hull.size(); ++i) {
      const PointF& before = hull[(i + hull.size() - 1) % hull.size()];
      const double area = std::abs(cross(before, hull[i], hull[(i + 1) % hull.size()]));
      if (area < least) least = area, slightest = i;
    }
    hull.erase(hull.begin() + static_cast<std::ptrdiff_t>(slightest));
  }
  return hull;
}

struct Shape {
  std::vector<PointF> points;  // corners of its pixels
  bool touches_edge = false;
};

// Every dark shape that hangs together.
std::vector<Shape> dark_shapes(const GreyView& place, double threshold) {
  const auto width = static_cast<std::size_t>(place.width_px);
  std::vector<std::uint8_t> open(width * static_cast<std::size_t>(place.height_px));
  for (int y = 0; y < place.height_px; ++y)
    for (int x = 0; x < place.width_px; ++x)
      open[static_cast<std::size_t>(y) * width + static_cast<std::size_t>(x)] = place.at(x, y) < threshold ? 1 : 0;
  std::vector<Shape> shapes;
  std::vector<std::pair<int, int>> stack;
  for (int y0 = 0; y0 < place.height_px; ++y0) {
    for (int x0 = 0; x0 < place.width_px; ++x0) {
      Shape shape;
      stack.assign(1, {x0, y0});
      while (!stack.empty()) {
        const auto [x, y] = stack.back();
        stack.pop_back();
        if (x < 0 || y < 0 || x >= place.width_px || y >= place.height_px) continue;
        if (std::exchange(open[static_cast<std::size_t>(y) * width + static_cast<std::size_t>(x)], std::uint8_t{0}) ==
            0)
          continue;
        shape.touches_edge =
            shape.touches_edge || x == 0 || y == 0 || x + 1 == place.width_px || y + 1 == place.height_px;
        for (const auto& [dx, dy] : {std::pair{0.0, 0.0}, {1.0, 0.0}, {0.0, 1.0}, {1.0, 1.0}})
          shape.points.push_back({x + dx, y + dy});
        for (int ny = -1; ny <= 1; ++ny)
          for (int nx = -1; nx <= 1; ++nx) stack.emplace_back(x + nx, y + ny);
      }
      if (!shape.points.empty()) shapes.push_back(std::move(shape));
    }
  }
  return shapes;
}

// Outline points of the symbol: the largest shape that does not run out of the place, and what lies close about it
// (modules that hang together with nothing).
std::vector<PointF> symbol_points(const GreyView& place, double threshold) {
  const std::vector<Shape> shapes = dark_shapes(place, threshold);
  const Shape* largest = nullptr;
  for (const Shape& shape : shapes)
    if (!shape.touches_edge && (largest == nullptr || shape.points.size() > largest->points.size())) largest = &shape;
  if (largest == nullptr) return {};
  double left = 1e9, top = 1e9, right = -1e9, bottom = -1e9;
  for (const PointF& p : largest->points) {
    left = std::min(left, p.x), right = std::max(right, p.x);
    top = std::min(top, p.y), bottom = std::max(bottom, p.y);
  }
  const double margin = k_about_share * std::max(right - left, bottom - top);
  std::vector<PointF> points;
  for (const Shape& shape : shapes) {
    if (shape.touches_edge) continue;
    const PointF& p = shape.points.front();
    if (p.x < left - margin || p.x > right + margin || p.y < top - margin || p.y > bottom + margin) continue;
    points.insert(points.end(), shape.points.begin(), shape.points.end());
  }
  return points;
}

double quad_area(const PointF& a, const PointF& b, const PointF& c, const PointF& d) {
  return (cross(a, b, c) + cross(a, c, d)) / 2;
}

// The four outline corners that enclose most.
Corners largest_quad(const std::vector<PointF>& hull) {
  Corners best{};
  double most = 0;
  const std::size_t n = hull.size();
  for (std::size_t a = 0; a < n; ++a)
    for (std::size_t b = a + 1; b < n; ++b)
      for (std::size_t c = b + 1; c < n; ++c)
        for (std::size_t d = c + 1; d < n; ++d) {
          const double area = std::abs(quad_area(hull[a], hull[b], hull[c], hull[d]));
          if (area <= most) continue;
          most = area;
          best = {hull[a], hull[b], hull[c], hull[d]};
        }
  return best;
}

// Corner `i` is the one between the two broken sides: its module is light, so the outline misses it. It is put where
// the parallelogram of the others has it, and the grid does the rest.
Corners with_mended_corner(Corners quad, std::size_t i) {
  const PointF& before = quad[(i + 3) % 4];
  const PointF& after = quad[(i + 1) % 4];
  const PointF& opposite = quad[(i + 2) % 4];
  const PointF parallelogram{before.x + after.x - opposite.x, before.y + after.y - opposite.y};
  quad[i] = {(quad[i].x + parallelogram.x) / 2, (quad[i].y + parallelogram.y) / 2};
  return quad;
}

struct Try {
  Corners corners;
  Spacing spacing;
  const Size* size;
  double weight;  // how far the match is from chance, in standard deviations: more modules say more
};

double side_px(const PointF& a, const PointF& b) { return std::hypot(a.x - b.x, a.y - b.y); }

// Modules of sensible size and not too far from square.
bool plausible(const Corners& corners, const Size& size) {
  const double across = std::min(side_px(corners[0], corners[1]), side_px(corners[3], corners[2])) / size.columns;
  const double down = std::min(side_px(corners[0], corners[3]), side_px(corners[1], corners[2])) / size.rows;
  return std::min(across, down) >= k_least_module_px &&
         std::max(across, down) <= k_most_stretched * std::min(across, down);
}

// The turn of the quad whose left and lower sides are darkest.
Corners with_dark_left_and_bottom(const GreyView& place, const Corners& quad) {
  constexpr int k_points = 60;
  constexpr double k_inward = 0.02;
  Corners best = quad;
  double darkest = 1e300;
  for (std::size_t turn = 0; turn < 4; ++turn) {
    Corners turned{};
    for (std::size_t i = 0; i < 4; ++i) turned[i] = quad[(i + turn) % 4];
    const Perspective view{turned};
    double grey = 0;
    for (int i = 0; i < k_points; ++i) {
      const double along = (i + 0.5) / k_points;
      for (const PointF& p : {view(k_inward, along), view(along, 1 - k_inward)}) {
        const double x = std::clamp(p.x, 0.0, place.width_px - 1.0);
        const double y = std::clamp(p.y, 0.0, place.height_px - 1.0);
        grey += place.at(static_cast<int>(x), static_cast<int>(y));
      }
    }
    if (grey < darkest) darkest = grey, best = turned;
  }
  return best;
}

// Even, unless the marks along the broken sides show that far more of the border fits where they are followed.
Spacing likely_spacing(const GreyView& place, const Corners& corners, const GridShape& shape, double threshold) {
  const Perspective view{corners};
  const Spacing marked{timing_marks(place, view, shape, BrokenSide::top, threshold),
                       timing_marks(place, view, shape, BrokenSide::right, threshold)};
  const double even_match = ModuleGrid{place, corners, shape, threshold}.match();
  const double marked_match = ModuleGrid{place, corners, shape, threshold, marked}.match();
  return marked_match > even_match + k_marks_better_by ? marked : Spacing{};
}

std::vector<Try> likely_tries(const GreyView& place, const Corners& quad, double threshold) {
  std::vector<Try> tries;
  const Corners turned = with_dark_left_and_bottom(place, quad);
  for (const Size& size : k_sizes) {
    if (!plausible(turned, size)) continue;
    const GridShape shape = shape_of(size);
    const auto unknown = std::count(shape.known.begin(), shape.known.end(), Module::unknown);
    const double known = static_cast<double>(shape.known.size()) - static_cast<double>(unknown);
    for (const Corners& corners : {turned, with_mended_corner(turned, 1)}) {
      Spacing spacing = likely_spacing(place, corners, shape, threshold);
      ModuleGrid grid{place, corners, shape, threshold, spacing};
      grid.fit();
      const double match = grid.match();
      if (match >= k_least_fitted_match)
        tries.push_back({corners, std::move(spacing), &size, (match - 0.5) * 2 * std::sqrt(known)});
    }
  }
  std::stable_sort(tries.begin(), tries.end(), [](const Try& a, const Try& b) { return a.weight > b.weight; });
  if (tries.size() > k_most_tries) tries.resize(k_most_tries);
  return tries;
}

}  // namespace

double best_threshold(const GreyView& picture) {
  std::array<double, 256> histogram{};
  double total = 0;
  double sum = 0;
  for (int y = 0; y < picture.height_px; ++y)
    for (int x = 0; x < picture.width_px; ++x) histogram[picture.at(x, y)] += 1;
  for (std::size_t level = 0; level < 256; ++level)
    total += histogram[level], sum += histogram[level] * static_cast<double>(level);
  double below = 0;
  double below_sum = 0;
  double most = -1;
  double best = 128;
  for (std::size_t level = 0; level < 255; ++level) {
    below += histogram[level];
    below_sum += histogram[level] * static_cast<double>(level);
    if (below == 0 || below == total) continue;
    const double apart = below_sum / below - (sum - below_sum) / (total - below);
    const double between = below * (total - below) * apart * apart;
    if (between > most) most = between, best = (below_sum / below + (sum - below_sum) / (total - below)) / 2;
  }
  return best;
}

std::vector<CodeReading> read_bent_data_matrix(const GreyView& place) {
  if (place.width_px < k_least_side_px || place.height_px < k_least_side_px) return {};
  const double threshold = best_threshold(place);
  const std::vector<PointF> hull = hull_of(symbol_points(place, threshold));
  if (hull.size() < 4) return {};
  const Corners quad = largest_quad(hull);
  for (const Try& one : likely_tries(place, quad, threshold)) {
    const GridShape shape = shape_of(*one.size);
    ModuleGrid grid{place, one.corners, shape, threshold, one.spacing};
    grid.fit();
    grid.bend();
    if (grid.match() < k_least_bent_match) continue;
    const GreyPicture clean = grid.redrawn(k_redrawn_module_px);
    std::vector<CodeReading> readings = read_clean(clean.view(), SymbolFormat::data_matrix);
    for (CodeReading& reading : readings) reading.corners = grid.corners();
    if (!readings.empty()) return readings;
  }
  return {};
}

}  // namespace sherdmark
