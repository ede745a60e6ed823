#include "sherdmark/sheet/calibration.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "sherdmark/code/symbol.h"
#include "sherdmark/sheet/canvas.h"
#include "sherdmark/sheet/running_text.h"

namespace sherdmark {
namespace {

constexpr double k_mark_inset_mm = 20.0;
constexpr double k_cross_arm_mm = 6.0;
constexpr double k_line_mm = 0.15;
constexpr double k_ladder_side_mm = 10.0;
constexpr double k_patch_side_mm = 20.0;
constexpr double k_module_pitch_mm = 28.0;
constexpr double k_ladder_top_mm = 95.0;  // below the upper marks
constexpr double k_ladder_caption_mm = 10.5;
constexpr double k_modules_top_mm = 123.0;
constexpr double k_patch_top_mm = 142.0;
constexpr double k_least_width_mm = 205.0;  // for the ladder, and for the words above it
constexpr double k_least_height_mm = 200.0;

// A disc with a thin white cross through its centre: a scan finds its middle, a person lays the rule on the cross.
void draw_mark(Canvas& canvas, double x_mm, double y_mm) {
  const double radius = k_mark_diameter_mm / 2;
  constexpr int k_steps = 24;
  for (int quarter = 0; quarter < 4; ++quarter) {
    const double sx = quarter == 0 || quarter == 3 ? 1 : -1;
    const double sy = quarter < 2 ? 1 : -1;
    std::vector<PointMm> corners{{x_mm + sx * k_line_mm / 2, y_mm + sy * k_line_mm / 2}};
    for (int i = 0; i <= k_steps; ++i) {
      const double angle = std::numbers::pi / 2 * i / k_steps;
      corners.push_back({x_mm + sx * std::max(k_line_mm / 2, radius * std::cos(angle)),
                         y_mm + sy * std::max(k_line_mm / 2, radius * std::sin(angle))});
    }
    canvas.polygon(corners);
  }
  const double gap = radius + 0.8;
  const std::array<RectMm, 4> arms{RectMm{x_mm - gap - k_cross_arm_mm, y_mm - k_line_mm / 2, k_cross_arm_mm, k_line_mm},
                                   RectMm{x_mm + gap, y_mm - k_line_mm / 2, k_cross_arm_mm, k_line_mm},
                                   RectMm{x_mm - k_line_mm / 2, y_mm - gap - k_cross_arm_mm, k_line_mm, k_cross_arm_mm},
                                   RectMm{x_mm - k_line_mm / 2, y_mm + gap, k_line_mm, k_cross_arm_mm}};
  canvas.rectangles(arms);
}

double tick_length(int mm) { return mm % 10 == 0 ? 4.0 : mm % 5 == 0 ? 3.0 : 1.8; }

void draw_rulers(Canvas& canvas, const CalibrationMarks& marks, const std::string& font) {
  const double x0 = marks.left_mm + 15;
  const double y0 = marks.top_mm + 15;
  const int across = static_cast<int>((marks.across_mm() - 30) / 10) * 10;
  const int down = static_cast<int>((marks.down_mm() - 30) / 10) * 10;
  std::vector<RectMm> strokes;
  for (int mm = 0; mm <= across; ++mm)
    strokes.push_back({x0 + mm - k_line_mm / 2, y0 - tick_length(mm), k_line_mm, tick_length(mm)});
  for (int mm = 0; mm <= down; ++mm)
    strokes.push_back({x0 - tick_length(mm), y0 + mm - k_line_mm / 2, tick_length(mm), k_line_mm});
  canvas.rectangles(strokes);
  const TextStyle small{font, 6};
  for (int mm = 20; mm <= across; mm += 20) canvas.paragraph(small, std::to_string(mm), {x0 + mm - 1.6, y0 - 7}, 12);
  TextStyle right = small;
  right.right_aligned = true;
  for (int mm = 20; mm <= down; mm += 20) canvas.paragraph(right, std::to_string(mm), {x0 - 13, y0 + mm - 1.3}, 8);
}

void draw_ladder_block(Canvas& canvas, const LadderBlock& block, int dpi) {
  const double line = dots_to_mm(block.dots, dpi);
  const double dot = dots_to_mm(1, dpi);
  const double x = std::round(block.x_mm / dot) * dot;
  const double y = std::round(block.y_mm / dot) * dot;
  std::vector<RectMm> lines;
  for (double at = 0; at + line <= block.side_mm; at += 2 * line)
    lines.push_back(block.upright_lines ? RectMm{x + at, y, line, block.side_mm}
                                        : RectMm{x, y + at, block.side_mm, line});
  canvas.rectangles(lines);
}

void draw_page_1(Canvas& canvas, const SheetStock& stock, int dpi, const std::string& font) {
  const CalibrationMarks marks = calibration_marks(stock);
  for (const double x : {marks.left_mm, marks.right_mm})
    for (const double y : {marks.top_mm, marks.bottom_mm}) draw_mark(canvas, x, y);
  const TextStyle letter{font, 11, true};
  canvas.paragraph(letter, "A", {marks.left_mm + 4, marks.top_mm - 7}, 8);
  canvas.paragraph(letter, "B", {marks.right_mm - 7, marks.top_mm - 7}, 8);
  canvas.paragraph(letter, "C", {marks.left_mm + 4, marks.bottom_mm + 3}, 8);
  canvas.paragraph(letter, "D", {marks.right_mm - 7, marks.bottom_mm + 3}, 8);
  draw_rulers(canvas, marks, font);

  const double x = marks.left_mm + 32;
  const double width = marks.across_mm() - 44;
  canvas.paragraph({font, 16, true}, "Calibration page", {x, marks.top_mm + 22}, width);
  double y = marks.top_mm + 31;
  const RunningText text;
  const auto paragraph = [&](const std::string& words, double indent_mm = 0) {
    const TextStyle style{font, 9};
    canvas.paragraph(style, words, {x + indent_mm, y}, width - indent_mm);
    y += text.measure(style, words, width - indent_mm).height_mm + 0.4;
  };
  paragraph(fmt::format("Print this page at actual size (100 %), never \"fit to page\", on {} paper.", stock.name));
  y += 1.2;
  paragraph(fmt::format("With a steel rule, measure {}, from the middle of one cross to the middle of the next:",
                        measured_in_inches(stock) ? "in millimetres to a tenth (or in inches, as 6.925in)"
                                                  : "in millimetres to a tenth"));
  const std::array steps{fmt::format("A to B (made as {})", length_to_measure(marks.across_mm(), stock)),
                         fmt::format("A to C (made as {})", length_to_measure(marks.down_mm(), stock)),
                         std::string{"left edge of the paper to A, square to the edge"},
                         std::string{"left edge of the paper to C"},
                         std::string{"the finest ladder below whose lines stand apart under a lens"}};
  for (std::size_t i = 0; i < steps.size(); ++i) {
    canvas.paragraph({font, 9, true}, std::to_string(i + 1), {x + 2, y}, 4);
    paragraph(steps[i], 7);
  }
  y += 1.2;
  paragraph("Or scan the page on a flatbed at 600 dpi, right way up; 3 and 4 are still measured by hand.");
  paragraph("Give the figures to the calibrate command; later sheets come out true to size.");
  const double words_end = marks.top_mm + k_ladder_top_mm - k_ladder_caption_mm;
  if (y > words_end)
    throw data_error(fmt::format("the words of the calibration page are {:.1f} mm too high for the paper \"{}\".",
                                 y - words_end, printable(stock.name)),
                     {}, "Give the paper a shorter name in the house standard, or take larger paper.");

  const TextStyle caption{font, 8, true};
  canvas.paragraph(caption, "Lines and gaps of as many printer dots", {x, words_end}, width);
  canvas.paragraph(caption, "Codes with modules of as many dots", {x, marks.top_mm + k_modules_top_mm - 11.5}, width);
  canvas.paragraph(caption, "Solid black: even, without grey or specks?", {x, marks.top_mm + k_patch_top_mm - 5.5},
                   width);
  for (const LadderBlock& block : calibration_ladder(stock)) {
    draw_ladder_block(canvas, block, dpi);
    if (block.upright_lines)
      canvas.paragraph({font, 8}, fmt::format("{} dots", block.dots), {block.x_mm, block.y_mm - 4.5}, 24);
  }
  for (const ModuleBlock& block : calibration_modules(stock, dpi)) {
    canvas.symbol(make_data_matrix(block.text), {block.x_mm, block.y_mm}, block.dots);
    canvas.paragraph({font, 8}, fmt::format("{} dots", block.dots), {block.x_mm, block.y_mm - 5.5}, 20);
  }
  const PatchBlock patch = calibration_patch(stock);
  canvas.rectangles(std::array{RectMm{patch.x_mm, patch.y_mm, patch.side_mm, patch.side_mm}});
}

void require_room(const SheetStock& stock) {
  if (stock.width_mm >= k_least_width_mm && stock.height_mm >= k_least_height_mm) return;
  throw data_error(
      fmt::format(
          "the calibration page needs paper of {:.0f} × {:.0f} mm at the least, and \"{}\" is {:.1f} × {:.1f} mm.",
          k_least_width_mm, k_least_height_mm, printable(stock.name), stock.width_mm, stock.height_mm),
      {},
      "Calibrate on the house standard's other paper (--paper artifact or --paper carrier), if that is larger: what a "
      "printer does to it, it does to every paper.");
}

}  // namespace

CalibrationMarks calibration_marks(const SheetStock& stock) {
  return {k_mark_inset_mm, stock.width_mm - k_mark_inset_mm, k_mark_inset_mm, stock.height_mm - k_mark_inset_mm};
}

bool measured_in_inches(const SheetStock& stock) { return std::abs(stock.width_mm - 8.5 * k_mm_per_inch) < 1.0; }

std::string length_to_measure(double mm, const SheetStock& stock) {
  return measured_in_inches(stock) ? fmt::format("{:.1f} mm, {:.3f} in", mm, mm / k_mm_per_inch)
                                   : fmt::format("{:.1f} mm", mm);
}

std::vector<LadderBlock> calibration_ladder(const SheetStock& stock) {
  const CalibrationMarks marks = calibration_marks(stock);
  std::vector<LadderBlock> blocks;
  double x = marks.left_mm + 32;
  for (const int dots : k_ladder_dots) {
    blocks.push_back({dots, true, x, marks.top_mm + k_ladder_top_mm, k_ladder_side_mm});
    blocks.push_back({dots, false, x + k_ladder_side_mm + 2, marks.top_mm + k_ladder_top_mm, k_ladder_side_mm});
    x += 2 * k_ladder_side_mm + 8;
  }
  return blocks;
}

std::vector<ModuleBlock> calibration_modules(const SheetStock& stock, int dpi) {
  const CalibrationMarks marks = calibration_marks(stock);
  std::vector<ModuleBlock> blocks;
  double x = marks.left_mm + 32;
  for (const int dots : k_ladder_dots) {
    std::string text = fmt::format("M{}", dots);
    const int modules = make_data_matrix(text).width_modules;
    blocks.push_back({dots, std::move(text), x, marks.top_mm + k_modules_top_mm, dots_to_mm(modules * dots, dpi)});
    x += k_module_pitch_mm;
  }
  return blocks;
}

PatchBlock calibration_patch(const SheetStock& stock) {
  const CalibrationMarks marks = calibration_marks(stock);
  return {marks.left_mm + 32, marks.top_mm + k_patch_top_mm, k_patch_side_mm};
}

void draw_calibration_pdf(const SheetStock& stock, int dpi, const std::string& font, const ByteSink& sink) {
  require_room(stock);
  write_pdf(
      whole_dots(stock.width_mm, stock.height_mm, dpi), PrinterDescription{.dpi = dpi}, 1, "Calibration page",
      [&](Canvas& canvas, int) { draw_page_1(canvas, stock, dpi, font); }, sink);
}

GreyPicture draw_calibration_page(const SheetStock& stock, int dpi, const std::string& font, double picture_dpi) {
  require_room(stock);
  return draw_grey(whole_dots(stock.width_mm, stock.height_mm, dpi), PrinterDescription{.dpi = dpi}, picture_dpi, 1,
                   [&](Canvas& canvas, int) { draw_page_1(canvas, stock, dpi, font); });
}

}  // namespace sherdmark
