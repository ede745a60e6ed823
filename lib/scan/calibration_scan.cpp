#include "sherdmark/scan/calibration_scan.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include "sherdmark/base/error.h"
#include "sherdmark/base/units.h"
#include "sherdmark/scan/codes.h"
#include "sherdmark/sheet/canvas.h"

namespace sherdmark {
namespace {

constexpr double k_least_ladder_contrast = 0.4;  // of paper to solid black; under it lines run together

struct Blob {
  double x = 0, y = 0, area = 0;
  int left = 0, top = 0, right = 0, bottom = 0;
};

// Dark connected regions of a binary picture (four neighbours), by flood fill.
std::vector<Blob> dark_blobs(const std::vector<std::uint8_t>& dark, int width, int height) {
  std::vector<std::uint8_t> open = dark;
  std::vector<Blob> blobs;
  std::vector<int> stack;
  for (int start = 0; start < width * height; ++start) {
    if (open[static_cast<std::size_t>(start)] == 0) continue;
    Blob blob{0, 0, 0, width, height, 0, 0};
    stack.assign(1, start);
    open[static_cast<std::size_t>(start)] = 0;
    while (!stack.empty()) {
      const int at = stack.back();
      stack.pop_back();
      const int x = at % width;
      const int y = at / width;
      blob.x += x, blob.y += y, blob.area += 1;
      blob.left = std::min(blob.left, x), blob.right = std::max(blob.right, x);
      blob.top = std::min(blob.top, y), blob.bottom = std::max(blob.bottom, y);
      const auto visit = [&](int nx, int ny) {
        if (nx < 0 || ny < 0 || nx >= width || ny >= height) return;
        const auto index =
            static_cast<std::size_t>(ny) * static_cast<std::size_t>(width) + static_cast<std::size_t>(nx);
        if (open[index] == 0) return;
        open[index] = 0;
        stack.push_back(static_cast<int>(index));
      };
      visit(x - 1, y), visit(x + 1, y), visit(x, y - 1), visit(x, y + 1);
    }
    blob.x = blob.x / blob.area + 0.5, blob.y = blob.y / blob.area + 0.5;
    blobs.push_back(blob);
  }
  return blobs;
}

// The picture is halved until it is near 100 dpi: the white cross of a mark closes and its disc is one blob.
std::vector<PointF> find_discs(const GreyView& scan, double scan_dpi) {
  GreyPicture small;
  GreyView view = scan;
  double dpi = scan_dpi;
  while (dpi > 130) {
    small = halved(view);
    view = small.view();
    dpi /= 2;
  }
  std::vector<std::uint8_t> dark(static_cast<std::size_t>(view.width_px) * static_cast<std::size_t>(view.height_px));
  for (int y = 0; y < view.height_px; ++y)
    for (int x = 0; x < view.width_px; ++x)
      dark[static_cast<std::size_t>(y) * static_cast<std::size_t>(view.width_px) + static_cast<std::size_t>(x)] =
          view.at(x, y) < 150;
  const double diameter = mm_to_dots(k_mark_diameter_mm, dpi);
  const double area = 3.14159265 / 4 * diameter * diameter;
  std::vector<PointF> discs;
  for (const Blob& blob : dark_blobs(dark, view.width_px, view.height_px)) {
    const double w = blob.right - blob.left + 1;
    const double h = blob.bottom - blob.top + 1;
    const bool round = std::abs(w - h) < 0.2 * diameter && std::abs(w - diameter) < 0.25 * diameter;
    if (round && blob.area > 0.75 * area && blob.area < 1.25 * area)
      discs.push_back({blob.x * scan_dpi / dpi, blob.y * scan_dpi / dpi});
  }
  return discs;
}

// Centre of darkness in the full picture round a first guess.
PointF refine(const GreyView& scan, PointF guess, double scan_dpi) {
  const double reach = mm_to_dots(k_mark_diameter_mm / 2 + 0.4, scan_dpi);
  double sum = 0, x_sum = 0, y_sum = 0;
  for (int y = static_cast<int>(guess.y - reach); y <= static_cast<int>(guess.y + reach); ++y)
    for (int x = static_cast<int>(guess.x - reach); x <= static_cast<int>(guess.x + reach); ++x) {
      if (x < 0 || y < 0 || x >= scan.width_px || y >= scan.height_px) continue;
      const double dark = 255.0 - scan.at(x, y);
      sum += dark, x_sum += dark * (x + 0.5), y_sum += dark * (y + 0.5);
    }
  return sum > 0 ? PointF{x_sum / sum, y_sum / sum} : guess;
}

double length_mm(PointF a, PointF b, double dpi) { return dots_to_mm(std::hypot(a.x - b.x, a.y - b.y), dpi); }

// A, B, C, D: the discs nearest the corners of their common frame.
std::array<PointF, 4> corner_marks(const std::vector<PointF>& discs) {
  std::array<PointF, 4> marks{};
  const std::array<std::array<double, 2>, 4> towards{{{-1, -1}, {1, -1}, {-1, 1}, {1, 1}}};
  for (std::size_t i = 0; i < 4; ++i)
    marks[i] = *std::max_element(discs.begin(), discs.end(), [&](PointF a, PointF b) {
      return a.x * towards[i][0] + a.y * towards[i][1] < b.x * towards[i][0] + b.y * towards[i][1];
    });
  return marks;
}

// How far the sides between the marks are from those of a page so wide and high, the worst of the four, as a share.
double off_by(const std::array<PointF, 4>& marks, double dpi, double across_mm, double down_mm) {
  const auto off = [&](std::size_t from, std::size_t to, double made_mm) {
    return std::abs(length_mm(marks[from], marks[to], dpi) / made_mm - 1);
  };
  return std::max({off(0, 1, across_mm), off(2, 3, across_mm), off(0, 2, down_mm), off(1, 3, down_mm)});
}

// Page mm → scan pixels, from the marks (affine through A, B and C).
struct PageToScan {
  PointF a, across, down;  // pixels; vectors for the whole distance between marks
  CalibrationMarks marks;
  [[nodiscard]] PointF at(double x_mm, double y_mm) const {
    const double u = (x_mm - marks.left_mm) / marks.across_mm();
    const double v = (y_mm - marks.top_mm) / marks.down_mm();
    return {a.x + u * across.x + v * down.x, a.y + u * across.y + v * down.y};
  }
};

double grey_at(const GreyView& scan, PointF p) {
  const int x = std::clamp(static_cast<int>(p.x), 0, scan.width_px - 1);
  const int y = std::clamp(static_cast<int>(p.y), 0, scan.height_px - 1);
  return scan.at(x, y);
}

// Mean difference between the middles of ink lines and of the paper between them.
double ladder_contrast(const GreyView& scan, const PageToScan& map, const LadderBlock& block, int printer_dpi) {
  const double line = dots_to_mm(block.dots, printer_dpi);
  double ink = 0, paper = 0;
  int pairs = 0;
  for (double along = 2; along + 2 < block.side_mm; along += 0.5)
    for (int i = 2; (2 * i + 2) * line < block.side_mm; ++i, ++pairs) {
      const double at_ink = (2 * i + 0.5) * line;
      const double at_paper = (2 * i + 1.5) * line;
      const auto sample = [&](double across) {
        return block.upright_lines ? grey_at(scan, map.at(block.x_mm + across, block.y_mm + along))
                                   : grey_at(scan, map.at(block.x_mm + along, block.y_mm + across));
      };
      ink += sample(at_ink), paper += sample(at_paper);
    }
  return pairs > 0 ? (paper - ink) / pairs : 0;
}

// The smallest module from which on every code is read.
std::optional<int> smallest_module_read(const GreyView& scan, const PageToScan& map, const SheetStock& stock,
                                        double scan_dpi, int printer_dpi) {
  constexpr double k_clear_mm = 2.5;
  std::optional<int> smallest;
  std::vector<ModuleBlock> blocks = calibration_modules(stock, printer_dpi);
  std::reverse(blocks.begin(), blocks.end());
  for (const ModuleBlock& block : blocks) {
    const PointF from = map.at(block.x_mm - k_clear_mm, block.y_mm - k_clear_mm);
    const int side = static_cast<int>(mm_to_dots(block.side_mm + 2 * k_clear_mm, scan_dpi));
    const int x = std::clamp(static_cast<int>(from.x), 0, scan.width_px - 1);
    const int y = std::clamp(static_cast<int>(from.y), 0, scan.height_px - 1);
    const GreyView part = scan.crop(x, y, std::min(side, scan.width_px - x), std::min(side, scan.height_px - y));
    const std::vector<CodeReading> codes = read_codes(part, {.budget_ms = 300});
    if (std::ranges::find(codes, block.text, &CodeReading::text) == codes.end()) break;
    smallest = block.dots;
  }
  return smallest;
}

// The resolution at which the marks have their size and lie where they should; common ones are tried.
std::optional<double> resolution_that_fits(const GreyView& scan, const SheetStock& stock) {
  constexpr double k_most_off = 0.05;
  const CalibrationMarks made = calibration_marks(stock);
  for (const double dpi : {150.0, 200.0, 240.0, 300.0, 400.0, 600.0, 1200.0}) {
    const std::vector<PointF> discs = find_discs(scan, dpi);
    if (discs.size() < 4) continue;
    if (off_by(corner_marks(discs), dpi, made.across_mm(), made.down_mm()) <= k_most_off) return dpi;
  }
  return std::nullopt;
}

// Throws when another resolution than was said explains what is seen.
void refuse_wrong_resolution(const GreyView& scan, const SheetStock& stock, double scan_dpi) {
  const auto fits = resolution_that_fits(scan, stock);
  if (!fits || std::abs(*fits / scan_dpi - 1) < 0.01) return;
  throw data_error(fmt::format("this is no scan at {:.0f} dpi.", scan_dpi), {},
                   fmt::format("Say the resolution that the scanner worked at; it looks like {:.0f}.", *fits));
}

}  // namespace

CalibrationMeasurement measure_calibration_scan(const GreyView& scan, double scan_dpi, const SheetStock& stock,
                                                int printer_dpi) {
  const std::vector<PointF> discs = find_discs(scan, scan_dpi);
  if (discs.size() < 4) {
    refuse_wrong_resolution(scan, stock, scan_dpi);
    throw data_error(
        fmt::format("{} of the four round marks were found.", discs.size()), {},
        "Scan the whole calibration page, right way up, at 300 dpi or more, and give the scan's resolution.");
  }
  std::array<PointF, 4> marks = corner_marks(discs);
  for (PointF& mark : marks) mark = refine(scan, mark, scan_dpi);
  CalibrationMeasurement result;
  result.across_mm = (length_mm(marks[0], marks[1], scan_dpi) + length_mm(marks[2], marks[3], scan_dpi)) / 2;
  result.down_mm = (length_mm(marks[0], marks[2], scan_dpi) + length_mm(marks[1], marks[3], scan_dpi)) / 2;

  const PageToScan map{marks[0],
                       {marks[1].x - marks[0].x, marks[1].y - marks[0].y},
                       {marks[2].x - marks[0].x, marks[2].y - marks[0].y},
                       calibration_marks(stock)};
  constexpr double k_most_off = 0.1;  // more is no printer's doing
  if (off_by(marks, scan_dpi, map.marks.across_mm(), map.marks.down_mm()) > k_most_off) {
    refuse_wrong_resolution(scan, stock, scan_dpi);
    if (off_by(marks, scan_dpi, map.marks.down_mm(), map.marks.across_mm()) <= k_most_off)
      throw data_error("the page lies on its side in the scan.", {},
                       "Turn the picture by a quarter, or scan it again.");
  }
  const PatchBlock patch = calibration_patch(stock);
  const PointMm middle{patch.x_mm + patch.side_mm / 2, patch.y_mm + patch.side_mm / 2};
  const double black = grey_at(scan, map.at(middle.x_mm, middle.y_mm));
  const double turned = grey_at(scan, map.at(stock.width_mm - middle.x_mm, stock.height_mm - middle.y_mm));
  if (turned + k_least_ladder_contrast * 255 < black)
    throw data_error("the page lies upside down in the scan.", {}, "Turn the picture by half, or scan it again.");
  const double white = grey_at(scan, map.at(patch.x_mm + patch.side_mm + 5, patch.y_mm + patch.side_mm / 2));
  for (const int dots : k_ladder_dots) {
    bool clear = white > black;
    for (const LadderBlock& block : calibration_ladder(stock))
      if (block.dots == dots)
        clear = clear && ladder_contrast(scan, map, block, printer_dpi) >= k_least_ladder_contrast * (white - black);
    if (clear) {
      result.smallest_clear_dots = dots;
      break;
    }
  }
  result.smallest_read_dots = smallest_module_read(scan, map, stock, scan_dpi, printer_dpi);
  return result;
}

}  // namespace sherdmark
