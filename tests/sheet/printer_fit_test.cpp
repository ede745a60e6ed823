#include <gtest/gtest.h>

#include <string>

#include "sherdmark/base/error.h"
#include "sherdmark/sheet/calibration.h"

namespace sherdmark {
namespace {

const SheetStock k_letter;

std::string refusal(const CalibrationMeasurement& measured) {
  try {
    (void)fit_printer(k_letter, 600, measured);
  } catch (const Error& error) {
    EXPECT_EQ(error.family(), ErrorFamily::data);
    return error.what();
  }
  return "accepted";
}

TEST(PrinterFit, PrinterWithinTheEnginesToleranceIsDescribed) {
  const CalibrationMarks marks = calibration_marks(k_letter);
  const PrinterDescription printer = fit_printer(k_letter, 600, {marks.across_mm() * 1.01, marks.down_mm() * 0.98});
  EXPECT_NEAR(printer.scale_x, 1.01, 1e-12);
  EXPECT_NEAR(printer.scale_y, 0.98, 1e-12);
  EXPECT_EQ(printer.skew_deg, 0);
}

// An A4 dialog that fits a Letter page shrinks both ways alike; about 94 to 97 % (common practice, no source).
TEST(PrinterFit, FitToPageIsRefusedInWords) {
  const CalibrationMarks marks = calibration_marks(k_letter);
  EXPECT_EQ(refusal({marks.across_mm() * 0.94, marks.down_mm() * 0.941}),
            "the page came out at 94.0 % across and 94.1 % down. The print dialog resized it (\"fit to page\" or "
            "\"shrink\"): "
            "choose \"actual size\" or 100 %, print the calibration page again and measure again.");
}

TEST(PrinterFit, SmallerBothWaysAlikeIsSaidToLookLikeFitToPage) {
  const auto looks = [](double x, double y) {
    PrinterDescription printer;
    printer.scale_x = x, printer.scale_y = y;
    return looks_fitted_to_page(printer);
  };
  EXPECT_TRUE(looks(0.98, 0.98));
  EXPECT_TRUE(looks(0.985, 0.987));
  EXPECT_FALSE(looks(0.98, 0.987)) << "an engine's two axes";
  EXPECT_FALSE(looks(0.995, 0.995)) << "within what paper does";
  EXPECT_FALSE(looks(1.02, 1.02)) << "nothing fits a page by growing";
}

TEST(PrinterFit, FiguresThatCannotBeRightAreRefused) {
  const CalibrationMarks marks = calibration_marks(k_letter);
  EXPECT_NE(refusal({marks.across_mm() * 1.2, marks.down_mm()}).find("actual size"), std::string::npos);
  EXPECT_NE(refusal({0, marks.down_mm()}).find("not above zero"), std::string::npos);
  EXPECT_NE(refusal({marks.across_mm(), marks.down_mm(), 20.0}).find("only one of the two"), std::string::npos);
  EXPECT_NE(refusal({marks.across_mm(), marks.down_mm(), 30.0, 10.0}).find("turned by 4.8 degrees"), std::string::npos);
}

}  // namespace
}  // namespace sherdmark
