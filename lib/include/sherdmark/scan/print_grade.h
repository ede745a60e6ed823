// Print quality of the symbols in a picture, by the parameters and thresholds of ISO/IEC 15415 (two-dimensional
// symbols). An ordinary camera or scanner is no verifier: its light, aperture and scale of reflectance are not
// calibrated, so every result here is an estimate. It compares labels taken the same way, and names what holds a symbol
// down.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/base/picture.h"
#include "sherdmark/code/symbol.h"
#include "sherdmark/scan/codes.h"

namespace sherdmark {

// What is graded. Frozen: the names are part of `grade --json`.
enum class GradeParameter {
  decode,
  symbol_contrast,
  modulation,
  axial_nonuniformity,
  grid_nonuniformity,
  unused_error_correction,
  fixed_pattern_damage,
  quiet_zone  // the ring round the symbol, by a rule of this project's own
};

struct ParameterGrade {
  GradeParameter parameter = GradeParameter::decode;
  int grade = 0;                // 4 (A) to 0 (F)
  std::optional<double> value;  // contrast, modulation, non-uniformity, unused correction and damage as shares (0-1)
};

struct PrintGrade {
  SymbolFormat format = SymbolFormat::qr;
  std::string text;
  Corners corners{};
  int side_modules = 0;
  double module_px = 0;
  int grade = 0;                           // the lowest of the parameters
  std::vector<ParameterGrade> parameters;  // in the order of the enumeration; only decode when it fails
  std::optional<double> print_growth;      // reported, never graded: share of a module by which the dark is too wide
  [[nodiscard]] const ParameterGrade* find(GradeParameter parameter) const;
};

struct GradingOptions {
  // Reflectance of the paper, which the lightest part of the picture is taken for: no camera knows it.
  double paper_reflectance = 0.85;
};

// Below this, the picture and not the print decides: the grade is still given, and a report must say so.
inline constexpr double k_least_grading_module_px = 4;

// QR, Micro QR and square Data Matrix among the readings, each graded in the picture it was read in; others are left
// out. A reading whose grid is not found gets grade 0 with decode alone.
[[nodiscard]] std::vector<PrintGrade> grade_codes(const GreyView& picture, const std::vector<CodeReading>& readings,
                                                  const GradingOptions& options = {});

[[nodiscard]] char grade_letter(int grade);                           // 4 → 'A' … 0 → 'F'
[[nodiscard]] std::string_view to_text(GradeParameter parameter);     // "symbol-contrast" …
[[nodiscard]] std::string_view name_of(GradeParameter parameter);     // "symbol contrast" …
[[nodiscard]] std::string_view what_to_do(GradeParameter parameter);  // one or two sentences for a person
// The parameters that have the lowest grade, unless that is 4.
[[nodiscard]] std::vector<GradeParameter> held_down_by(const PrintGrade& grade);

}  // namespace sherdmark
