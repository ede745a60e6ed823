#include "sherdmark/scan/calibration_scan.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string>
#include <string_view>

#include "sherdmark/base/error.h"
#include "sherdmark/base/units.h"
#include "sherdmark/sheet/canvas.h"

namespace sherdmark {
namespace {

constexpr double k_dpi = 300;

struct Affine {
  double xx, xy, yx, yy;
  [[nodiscard]] PointF apply(PointF p) const { return {xx * p.x + xy * p.y, yx * p.x + yy * p.y}; }
  [[nodiscard]] Affine inverse() const {
    const double det = xx * yy - xy * yx;
    return {yy / det, -xy / det, -yx / det, xx / det};
  }
};

// What a printer does to a page: stretches it, then turns it clockwise about the top left corner.
Affine printer_of(double scale_x, double scale_y, double clockwise_deg) {
  const double a = clockwise_deg * std::numbers::pi / 180;
  return {scale_x * std::cos(a), -scale_y * std::sin(a), scale_x * std::sin(a), scale_y * std::cos(a)};
}

GreyPicture warped(const GreyPicture& sharp, const Affine& by) {
  const Affine back = by.inverse();
  GreyPicture out{sharp.width_px() + 80, sharp.height_px() + 120};
  for (int y = 0; y < out.height_px(); ++y)
    for (int x = 0; x < out.width_px(); ++x) {
      const PointF from = back.apply({x + 0.5, y + 0.5});
      const double fx = from.x - 0.5;
      const double fy = from.y - 0.5;
      const int ix = static_cast<int>(std::floor(fx));
      const int iy = static_cast<int>(std::floor(fy));
      if (ix < 0 || iy < 0 || ix + 1 >= sharp.width_px() || iy + 1 >= sharp.height_px()) continue;
      const double u = fx - ix;
      const double v = fy - iy;
      const double top = (1 - u) * sharp.row(iy)[ix] + u * sharp.row(iy)[ix + 1];
      const double low = (1 - u) * sharp.row(iy + 1)[ix] + u * sharp.row(iy + 1)[ix + 1];
      out.row(y)[x] = static_cast<std::uint8_t>((1 - v) * top + v * low + 0.5);
    }
  return out;
}

// Distance of a mark from the paper's left edge on the print, as a person measures it.
double edge_distance(const Affine& printer, double x_mm, double y_mm) { return printer.apply({x_mm, y_mm}).x; }

PointF darkness_centre(const GreyPicture& picture, PointF at, double reach) {
  double sum = 0, x_sum = 0, y_sum = 0;
  for (int y = static_cast<int>(at.y - reach); y <= static_cast<int>(at.y + reach); ++y)
    for (int x = static_cast<int>(at.x - reach); x <= static_cast<int>(at.x + reach); ++x) {
      if (x < 0 || y < 0 || x >= picture.width_px() || y >= picture.height_px()) continue;
      const double dark = 255.0 - picture.row(y)[x];
      sum += dark, x_sum += dark * (x + 0.5), y_sum += dark * (y + 0.5);
    }
  return {x_sum / sum, y_sum / sum};
}

TEST(CalibrationScan, PrinterThatStretchesAndTurnsIsMeasuredAndLaterPagesComeOutTrueWithinATenthOfAMillimetre) {
  const SheetStock letter;
  const CalibrationMarks marks = calibration_marks(letter);
  const struct {
    double scale_x, scale_y, skew_deg, scanner_deg;
  } printers[] = {{1.02, 0.99, 0.2, 0}, {0.985, 1.012, -0.2, 1.5}, {1.0, 1.0, 0, -2}};
  for (const auto& p : printers) {
    SCOPED_TRACE(p.scale_x);
    const Affine printer = printer_of(p.scale_x, p.scale_y, p.skew_deg);
    const GreyPicture printed = warped(draw_calibration_page(letter, 600, "DejaVu Sans", k_dpi), printer);
    const GreyPicture scanned = warped(printed, printer_of(1, 1, p.scanner_deg));
    CalibrationMeasurement measured = measure_calibration_scan(scanned.view(), k_dpi, letter, 600);
    measured.edge_to_a_mm = edge_distance(printer, marks.left_mm, marks.top_mm);
    measured.edge_to_c_mm = edge_distance(printer, marks.left_mm, marks.bottom_mm);
    const PrinterDescription found = fit_printer(letter, 600, measured);
    EXPECT_NEAR(found.scale_x, p.scale_x, 2e-4);
    EXPECT_NEAR(found.scale_y, p.scale_y, 2e-4);
    EXPECT_NEAR(found.skew_deg, p.skew_deg, 0.01);

    const auto draw = [](Canvas& canvas, int) {
      for (double x = 15; x < 210; x += 45)
        for (double y = 15; y < 270; y += 60) canvas.rectangles(std::array{RectMm{x - 1, y - 1, 2, 2}});
    };
    const GreyPicture corrected =
        warped(draw_grey(whole_dots(letter.width_mm, letter.height_mm, 600), found, k_dpi, 1, draw), printer);
    for (double x = 15; x < 210; x += 45)
      for (double y = 15; y < 270; y += 60) {
        const PointF centre = darkness_centre(corrected, {mm_to_dots(x, k_dpi), mm_to_dots(y, k_dpi)}, 24);
        EXPECT_NEAR(dots_to_mm(centre.x, k_dpi), x, 0.1);
        EXPECT_NEAR(dots_to_mm(centre.y, k_dpi), y, 0.1);
      }
  }
}

TEST(CalibrationScan, LadderSaysWhichStepStandsApart) {
  SheetStock a4;
  a4.name = "a4", a4.width_mm = 210, a4.height_mm = 297;
  const GreyPicture sharp = draw_calibration_page(a4, 600, "DejaVu Sans", 600);
  const CalibrationMeasurement measured = measure_calibration_scan(sharp.view(), 600, a4, 600);
  EXPECT_EQ(measured.smallest_clear_dots, 3);
  EXPECT_EQ(measured.smallest_read_dots, 3);
}

TEST(CalibrationScan, WhatWasWrongWithTheScanIsNamed) {
  const SheetStock letter;
  const GreyPicture page = draw_calibration_page(letter, 600, "DejaVu Sans", k_dpi);
  const auto said = [&](const GreyPicture& scan, double dpi) {
    try {
      (void)measure_calibration_scan(scan.view(), dpi, letter, 600);
      return std::string{};
    } catch (const Error& error) {
      return std::string{error.what()};
    }
  };
  GreyPicture upside_down{page.width_px(), page.height_px()};
  for (int y = 0; y < page.height_px(); ++y)
    std::reverse_copy(page.row(y), page.row(y) + page.width_px(), upside_down.row(page.height_px() - 1 - y));
  EXPECT_EQ(said(upside_down, k_dpi),
            "the page lies upside down in the scan. Turn the picture by half, or scan it again.");
  for (const double wrong : {150.0, 200.0, 600.0})
    EXPECT_EQ(said(page, wrong), "this is no scan at " + std::to_string(static_cast<int>(wrong)) +
                                     " dpi. Say the resolution that the scanner worked at; it looks like 300.");
  EXPECT_EQ(said(page, k_dpi), "");
  GreyPicture on_its_side{page.height_px(), page.width_px()};
  for (int y = 0; y < page.height_px(); ++y)
    for (int x = 0; x < page.width_px(); ++x) on_its_side.row(x)[page.height_px() - 1 - y] = page.row(y)[x];
  EXPECT_EQ(said(on_its_side, k_dpi),
            "the page lies on its side in the scan. Turn the picture by a quarter, or scan it again.");
}

// Among the letters of the page four are as round as marks of another resolution, and as far apart across.
TEST(CalibrationScan, ResolutionThatIsProposedFitsBothWays) {
  SheetStock a4;
  a4.name = "a4", a4.width_mm = 210, a4.height_mm = 297;
  const GreyPicture page = draw_calibration_page(a4, 600, "DejaVu Sans", 600);
  for (const double wrong : {150.0, 300.0, 400.0}) try {
      (void)measure_calibration_scan(page.view(), wrong, a4, 600);
      ADD_FAILURE() << wrong;
    } catch (const Error& error) {
      EXPECT_TRUE(std::string_view{error.what()}.ends_with("it looks like 600.")) << error.what();
    }
}

TEST(CalibrationScan, PageWithoutItsMarksIsAClearError) {
  const GreyPicture blank{800, 1000};
  try {
    (void)measure_calibration_scan(blank.view(), 100, SheetStock{}, 600);
    FAIL();
  } catch (const Error& error) {
    EXPECT_EQ(error.family(), ErrorFamily::data);
    EXPECT_STREQ(error.what(),
                 "0 of the four round marks were found. Scan the whole calibration page, right way up, at 300 dpi or "
                 "more, and give the scan's resolution.");
  }
}

}  // namespace
}  // namespace sherdmark
