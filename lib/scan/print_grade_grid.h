// The modules of one symbol in a picture: where they lie and how much light each sends back. Private to the layer.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "scan/module_grid.h"
#include "sherdmark/code/reference_decode.h"
#include "sherdmark/scan/codes.h"

namespace sherdmark {

// Light of an 8-bit level as a share of level 255: the transfer function of IEC 61966-2-1, which cameras and scanners
// write by.
[[nodiscard]] double light_of(double level);

// Where the corners of all modules lie: (side + 1)² points, row by row.
class MeasuredGrid {
 public:
  // `corners`: where all module corners were found at first, row by row.
  MeasuredGrid(const GreyView& picture, const std::vector<PointF>& corners, int side);

  [[nodiscard]] int side() const { return side_; }
  [[nodiscard]] double module_px() const;
  [[nodiscard]] double across_px() const;  // mean length of a module along a row
  [[nodiscard]] double down_px() const;
  [[nodiscard]] Corners corners() const;
  // In modules; outside of 0 … side the plane through the corners goes on.
  [[nodiscard]] PointF place(double column, double row) const;
  // Mean light in a round aperture of 0.8 modules about the place.
  [[nodiscard]] double light(double column, double row) const;
  // Mean grey level of the square of `size_modules` about the place, moved by `shift` pixels.
  [[nodiscard]] double level(double column, double row, double size_modules, const PointF& shift = {}) const;

  // Grey level of one point of the picture.
  [[nodiscard]] double level_at_point(const PointF& place) const;

  // Moves every module corner to where the printed modules about it are seen best, and the plane after them.
  void settle(const SymbolMatrix& printed);
  // Largest distance of a module corner from the even grid that lies best among them, in modules.
  [[nodiscard]] double largest_displacement() const;

 private:
  [[nodiscard]] std::size_t index(int column, int row) const {
    return static_cast<std::size_t>(row) * (static_cast<std::size_t>(side_) + 1) + static_cast<std::size_t>(column);
  }
  // Levels of a module, moved by each of the tried shifts.
  using ShiftedLevels = std::array<double, 25>;
  [[nodiscard]] std::vector<ShiftedLevels> levels_of_modules() const;
  [[nodiscard]] std::optional<PointF> best_shift(const SymbolMatrix& printed, const std::vector<ShiftedLevels>& levels,
                                                 int column, int row) const;
  void smooth();

  const GreyView& picture_;
  int side_;
  Perspective plane_;
  std::vector<PointF> shifts_;  // of every module corner, against the plane, in pixels
};

// The symbol's grid by what is known of its kind, for every size and turn that the corners allow; the best one that
// fits. std::nullopt: none does.
struct FoundGrid {
  std::vector<PointF> corners;  // of all modules, row by row, as the symbol reads upright
  SymbolFrame frame;
};
[[nodiscard]] std::optional<FoundGrid> find_grid(const GreyView& picture, const CodeReading& reading);

}  // namespace sherdmark
