// The parameters of ISO/IEC 15415, each a function from measured modules to a grade. Thresholds: check values, section
// 3; those of fixed pattern damage are from memory. Private to the layer.
#pragma once

#include <vector>

#include "scan/print_grade_grid.h"
#include "sherdmark/scan/print_grade.h"

namespace sherdmark {

// What every module sends back, the quiet zone included.
class MeasuredModules {
 public:
  MeasuredModules(const MeasuredGrid& grid, int quiet_modules);

  [[nodiscard]] int side() const { return side_; }
  [[nodiscard]] int quiet() const { return quiet_; }
  [[nodiscard]] double most() const { return most_; }  // of the symbol and the module round it
  [[nodiscard]] double least() const { return least_; }
  [[nodiscard]] double threshold() const { return (most_ + least_) / 2; }
  // From -quiet to side + quiet - 1, both ways.
  [[nodiscard]] double light(int column, int row) const;
  [[nodiscard]] bool is_dark(int column, int row) const { return light(column, row) < threshold(); }
  // 2 |R - threshold| / contrast; 0 when the module is not of the colour it was printed in.
  [[nodiscard]] double margin(int column, int row, bool printed_dark) const;
  // Every module by the one threshold; or by the middle of what lies about it, for uneven light.
  [[nodiscard]] SymbolMatrix by_threshold(SymbolFormat format) const;
  [[nodiscard]] SymbolMatrix by_surroundings(SymbolFormat format) const;

 private:
  int side_;
  int quiet_;
  std::vector<double> lights_;
  double most_ = 0;
  double least_ = 0;
};

struct GradedSymbol {
  const MeasuredGrid& grid;
  const MeasuredModules& modules;
  const SymbolFrame& frame;
  const ReferenceDecode& decode;
};

[[nodiscard]] ParameterGrade contrast_grade(const MeasuredModules& modules, double paper_reflectance);
[[nodiscard]] ParameterGrade modulation_grade(const GradedSymbol& symbol);
[[nodiscard]] ParameterGrade axial_grade(const MeasuredGrid& grid);
[[nodiscard]] ParameterGrade grid_grade(const MeasuredGrid& grid);
[[nodiscard]] ParameterGrade unused_correction_grade(const ReferenceDecode& decode);
[[nodiscard]] ParameterGrade fixed_pattern_grade(const GradedSymbol& symbol);
[[nodiscard]] ParameterGrade quiet_zone_grade(const MeasuredModules& modules);
[[nodiscard]] std::optional<double> print_growth(const GradedSymbol& symbol);

// Margin of a module → 4 … 0.
[[nodiscard]] int margin_grade(double margin);

}  // namespace sherdmark
