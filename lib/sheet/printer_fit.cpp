#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "sherdmark/base/error.h"
#include "sherdmark/sheet/calibration.h"

namespace sherdmark {
namespace {

constexpr double k_most_scale_error = 0.025;  // laser engines keep within 2 %; more is a setting, not the engine
constexpr double k_most_turn_deg = 2.0;
constexpr double k_alike = 0.012;  // "fit to page" shrinks both ways alike

void refuse_wrong_scale(double scale_x, double scale_y) {
  if (std::abs(scale_x - 1) <= k_most_scale_error && std::abs(scale_y - 1) <= k_most_scale_error) return;
  const std::string found =
      fmt::format("the page came out at {:.1f} % across and {:.1f} % down.", 100 * scale_x, 100 * scale_y);
  const bool alike = std::abs(scale_x - scale_y) < k_alike;
  throw data_error(
      found, {},
      alike ? "The print dialog resized it (\"fit to page\" or \"shrink\"): choose \"actual size\" or 100 %, print the "
              "calibration page again and measure again."
            : "No laser printer is that far off: check that the paper is the one named, that the page was printed at "
              "actual size, that the lengths have points and not commas in them, and measure again from centre to "
              "centre.");
}

}  // namespace

PrinterDescription fit_printer(const SheetStock& stock, int dpi, const CalibrationMeasurement& measured) {
  const CalibrationMarks marks = calibration_marks(stock);
  if (!(measured.across_mm > 0) || !(measured.down_mm > 0))
    throw data_error("a measured length is not above zero.", {}, "Measure from centre to centre of the marks, in mm.");
  if (measured.edge_to_a_mm.has_value() != measured.edge_to_c_mm.has_value())
    throw data_error("only one of the two distances from the paper's left edge was given.", {},
                     "Give both, or neither; the turn of the page needs both.");
  PrinterDescription printer;
  printer.dpi = dpi;
  printer.scale_x = measured.across_mm / marks.across_mm();
  printer.scale_y = measured.down_mm / marks.down_mm();
  refuse_wrong_scale(printer.scale_x, printer.scale_y);
  if (measured.edge_to_a_mm) {
    // A clockwise turn carries the lower mark towards the left edge.
    const double shift = *measured.edge_to_a_mm - *measured.edge_to_c_mm;
    printer.skew_deg = std::asin(std::clamp(shift / measured.down_mm, -1.0, 1.0)) * 180.0 / std::numbers::pi;
    if (std::abs(printer.skew_deg) > k_most_turn_deg)
      throw data_error(fmt::format("the page is turned by {:.1f} degrees.", printer.skew_deg), {},
                       "Straighten the paper guides of the tray, print the page again and measure again.");
  }
  return printer;
}

bool looks_fitted_to_page(const PrinterDescription& printer) {
  constexpr double k_engine_alone = 0.01;
  constexpr double k_dialog_alike = 0.003;
  return std::max(printer.scale_x, printer.scale_y) < 1 - k_engine_alone &&
         std::abs(printer.scale_x - printer.scale_y) < k_dialog_alike;
}

}  // namespace sherdmark
