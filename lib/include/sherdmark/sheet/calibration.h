// True size from any printer: a page to print and measure, and the printer description that follows from it.
//
// The page carries four marks (A top left, B top right, C bottom left, D bottom right), rulers in both axes, a ladder
// of 3, 4, 5 and 6 dot lines, codes with modules of as many dots, a solid patch and instructions. It is printed without
// any correction. A printer is described by what it does to a page: it stretches it by scale_x and scale_y and turns it
// clockwise by skew_deg.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sherdmark/base/files.h"
#include "sherdmark/base/picture.h"
#include "sherdmark/standard/house_standard.h"

namespace sherdmark {

// Where the marks' centres lie on a page of that stock, from the top left corner of the paper, in mm.
struct CalibrationMarks {
  double left_mm = 0;
  double right_mm = 0;
  double top_mm = 0;
  double bottom_mm = 0;
  [[nodiscard]] double across_mm() const { return right_mm - left_mm; }
  [[nodiscard]] double down_mm() const { return bottom_mm - top_mm; }
};
[[nodiscard]] CalibrationMarks calibration_marks(const SheetStock& stock);

// Where paper is letter size, rules and fences are marked in inches: scale bars, cutting lists and this page give them.
[[nodiscard]] bool measured_in_inches(const SheetStock& stock);
// "175.9 mm", on letter paper "175.9 mm, 6.925 in".
[[nodiscard]] std::string length_to_measure(double mm, const SheetStock& stock);

inline constexpr double k_mark_diameter_mm = 5.0;
inline constexpr int k_ladder_dots[] = {3, 4, 5, 6};

// One block of the dot ladder: lines of `dots` dots, ink and paper in turn.
struct LadderBlock {
  int dots = 0;
  bool upright_lines = false;
  double x_mm = 0;
  double y_mm = 0;
  double side_mm = 0;
};
[[nodiscard]] std::vector<LadderBlock> calibration_ladder(const SheetStock& stock);
// One code of the row below the ladder: its text names its module, "M3" to "M6".
struct ModuleBlock {
  int dots = 0;
  std::string text;
  double x_mm = 0;  // its first module
  double y_mm = 0;
  double side_mm = 0;  // without quiet zone
};
[[nodiscard]] std::vector<ModuleBlock> calibration_modules(const SheetStock& stock, int dpi);
struct PatchBlock {
  double x_mm = 0;
  double y_mm = 0;
  double side_mm = 0;
};
[[nodiscard]] PatchBlock calibration_patch(const SheetStock& stock);

// Throws data_error when the paper is too small for the page.
void draw_calibration_pdf(const SheetStock& stock, int dpi, const std::string& font, const ByteSink& sink);
[[nodiscard]] GreyPicture draw_calibration_page(const SheetStock& stock, int dpi, const std::string& font,
                                                double picture_dpi);

// What a person measured on the print with a steel rule, or the tool in a flatbed scan.
struct CalibrationMeasurement {
  double across_mm = 0;                      // centre of A to centre of B
  double down_mm = 0;                        // centre of A to centre of C
  std::optional<double> edge_to_a_mm{};      // left edge of the paper to A, square to the edge
  std::optional<double> edge_to_c_mm{};      // left edge of the paper to C
  std::optional<int> smallest_clear_dots{};  // smallest ladder step whose lines stand apart
  std::optional<int> smallest_read_dots{};   // smallest module whose code was read; scans only
};

// The description that corrects later sheets. Throws data_error in words when the print was shrunk or enlarged by the
// printer dialog ("fit to page") or the figures cannot be right: a scale more than 2.5 % off, a turn over 2 degrees.
// Without the edge distances the turn is taken as none.
[[nodiscard]] PrinterDescription fit_printer(const SheetStock& stock, int dpi, const CalibrationMeasurement& measured);
// Smaller by more than 1 %, and both ways alike within 0.3 %: a dialog's "fit to page" with narrow margins looks like
// that, and an engine rarely does. No error, for it may be the engine; whoever measured must be told.
[[nodiscard]] bool looks_fitted_to_page(const PrinterDescription& printer);

}  // namespace sherdmark
