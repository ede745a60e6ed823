// The calibration page measured in a flatbed scan. The scanner's stated resolution is taken as true, so a person should
// check it once against a steel rule laid on the glass.
#pragma once

#include "sherdmark/base/picture.h"
#include "sherdmark/sheet/calibration.h"

namespace sherdmark {

// Finds the four marks wherever the page lies (turned by up to 5 degrees) and the ladder between them. Throws
// data_error when a mark is not seen. The distances from the paper's edge stay unset: a flatbed does not show the edge.
[[nodiscard]] CalibrationMeasurement measure_calibration_scan(const GreyView& scan, double scan_dpi,
                                                              const SheetStock& stock, int printer_dpi);

}  // namespace sherdmark
