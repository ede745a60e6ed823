// A grid of modules laid over a symbol that is not flat: a bag's fold, a curved body, a creased tag. It starts as the
// perspective view of a plane through four corners and is then bent, coarse to fine, until the modules stand out most
// and the parts of the symbol that are known beforehand (borders, finders) fit. Private to the layer.
#pragma once

#include <cstdint>
#include <vector>

#include "sherdmark/base/picture.h"

namespace sherdmark {

// Grey level at a point between pixel middles, by the four around it; the edge goes on beyond the picture.
[[nodiscard]] double grey_between(const GreyView& picture, const PointF& p);
[[nodiscard]] double distance(const PointF& a, const PointF& b);

// Plane perspective: (0,0)-(1,1) to four corners.
class Perspective {
 public:
  explicit Perspective(const Corners& corners);
  [[nodiscard]] PointF operator()(double u, double v) const;

 private:
  double a_, b_, c_, d_, e_, f_, g_, h_;
};

// What is known of a symbol's modules before it is read, row by row.
enum class Module : std::int8_t { unknown, light, dark };

struct GridShape {
  int columns = 0;
  int rows = 0;
  std::vector<Module> known;
  [[nodiscard]] Module at(int column, int row) const {
    return known[static_cast<std::size_t>(row) * static_cast<std::size_t>(columns) + static_cast<std::size_t>(column)];
  }
};

// Borders between the columns and between the rows of a symbol, in shares of its sides: one more than there are; even
// where nothing is said.
struct Spacing {
  std::vector<double> columns{};
  std::vector<double> rows{};
};

class ModuleGrid {
 public:
  // `threshold`: grey level between dark and light. `corners`: outer corners of the symbol.
  ModuleGrid(const GreyView& picture, const Corners& corners, const GridShape& shape, double threshold,
             Spacing spacing = {});

  // Corners and the middles of the sides, by the known modules alone: cheap, and enough to compare shapes by `match`.
  void fit();
  void bend();
  // Share of the known modules that look as they should.
  [[nodiscard]] double match() const;
  // The symbol drawn anew, flat and clean, with a quiet zone of four modules; what is known of it as it must be.
  [[nodiscard]] GreyPicture redrawn(int module_px) const;
  [[nodiscard]] Corners corners() const;
  // Where a place counted in modules lies in the picture.
  [[nodiscard]] PointF place(double column, double row) const;

 private:
  [[nodiscard]] PointF flat_place(double column, double row) const;
  [[nodiscard]] double sample(double column, double row) const;
  [[nodiscard]] double gain_near(int node_column, int node_row, bool known_only) const;
  [[nodiscard]] double strain(int node_column, int node_row) const;
  [[nodiscard]] PointF& node(int column, int row);
  [[nodiscard]] const PointF& node(int column, int row) const;
  void divide(int cells);
  void settle(double step_modules, bool known_only);

  const GreyView& picture_;
  Perspective flat_;
  const GridShape& shape_;
  double threshold_;
  Spacing spacing_;
  double module_px_ = 1;
  int cells_ = 1;               // the field of shifts has cells_ + 1 nodes each way
  std::vector<PointF> shifts_;  // in pixels
};

}  // namespace sherdmark
