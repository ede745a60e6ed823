#include "sherdmark/report/printing_report.h"

#include <gtest/gtest.h>

namespace sherdmark {
namespace {

// What calibrate says of a printer whose codes nobody saw read must not look like that of one whose were.
TEST(PrintingReport, a_scan_in_which_no_code_was_read_says_so) {
  constexpr const char* k_said = "Not even the code of the largest module was read";
  CalibrationReport report;
  report.printer.method = CalibrationMethod::scanned;
  EXPECT_NE(calibration_text(report).find(k_said), std::string::npos);
  report.measured.smallest_read_dots = 4;
  EXPECT_EQ(calibration_text(report).find(k_said), std::string::npos);
  report.measured.smallest_read_dots.reset();
  report.printer.method = CalibrationMethod::measured;
  EXPECT_EQ(calibration_text(report).find(k_said), std::string::npos);
}

}  // namespace
}  // namespace sherdmark
