// The two plots of the reports: bars cut into parts, and shares with their bounds. Black and grey, read without colour.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <numeric>

#include "report/page_slices.h"

namespace sherdmark {
namespace {

constexpr double k_text_pt = 8;
constexpr double k_small_pt = 7;
constexpr double k_row_mm = 6;
constexpr double k_bar_mm = 3.6;
constexpr double k_line_mm = 0.2;
constexpr std::array k_shades{0.85, 0.5, 0.25, 0.08};
constexpr double k_dash_mm = 1.0;

// Where label, picture and note stand in a row.
struct Columns {
  double label_mm, picture_x_mm, picture_mm, note_x_mm, note_mm;
};
Columns columns_of(double width_mm) {
  const double label = width_mm * 0.30;
  const double note = width_mm * 0.24;
  return {label, label + 2, width_mm - label - note - 4, width_mm - note, note};
}

void outline(Canvas& canvas, const RectMm& box) {
  canvas.rectangles(std::array{RectMm{box.x_mm, box.y_mm, box.w_mm, k_line_mm},
                               RectMm{box.x_mm, box.y_mm + box.h_mm - k_line_mm, box.w_mm, k_line_mm},
                               RectMm{box.x_mm, box.y_mm, k_line_mm, box.h_mm},
                               RectMm{box.x_mm + box.w_mm - k_line_mm, box.y_mm, k_line_mm, box.h_mm}});
}

Slice title_slice(const std::string& title, const PageText& page) {
  const TextStyle bold = page.style(9, true);
  return {.before_mm = 3,
          .height_mm = page.height(bold, title, page.width_mm) + 1.5,
          .with_next = true,
          .draw = [=, width = page.width_mm](Canvas& canvas, PointMm at) { canvas.paragraph(bold, title, at, width); }};
}

double row_height(const PageText& page, const std::string& label, const std::string& note) {
  const Columns columns = columns_of(page.width_mm);
  const TextStyle style = page.style(k_text_pt);
  return std::max(
      {k_row_mm, page.height(style, label, columns.label_mm) + 1.2, page.height(style, note, columns.note_mm) + 1.2});
}

void draw_words(Canvas& canvas, const PageText& page, PointMm at, const std::string& label, const std::string& note) {
  const Columns columns = columns_of(page.width_mm);
  const TextStyle style = page.style(k_text_pt);
  canvas.paragraph(style, label, {at.x_mm, at.y_mm + 0.6}, columns.label_mm);
  canvas.paragraph(style, note, {at.x_mm + columns.note_x_mm, at.y_mm + 0.6}, columns.note_mm);
}

Slice legend_slice(const std::vector<std::string>& parts, const PageText& page) {
  return {.height_mm = 5, .with_next = true, .draw = [=](Canvas& canvas, PointMm at) {
            const TextStyle style = page.style(k_small_pt);
            double x = at.x_mm + columns_of(page.width_mm).picture_x_mm;
            for (std::size_t i = 0; i < parts.size(); ++i) {
              const RectMm box{x, at.y_mm + 0.4, 2.6, 2.6};
              canvas.tinted(std::array{box}, k_shades[i % k_shades.size()]);
              outline(canvas, box);
              canvas.paragraph(style, parts[i], {x + 3.6, at.y_mm}, 0);
              x += 3.6 + page.text.measure(style, parts[i]).width_mm + 5;
            }
          }};
}

void draw_disc(Canvas& canvas, PointMm centre, double radius_mm) {
  constexpr int k_corners = 24;
  std::vector<PointMm> corners;
  for (int i = 0; i < k_corners; ++i) {
    const double angle = 2 * std::numbers::pi * i / k_corners;
    corners.push_back({centre.x_mm + radius_mm * std::cos(angle), centre.y_mm + radius_mm * std::sin(angle)});
  }
  canvas.polygon(corners);
}

// The scale's end and step: 1, 2 or 5 times a power of ten, at most six steps.
struct Scale {
  double end = 1;
  double step = 0.2;
};
Scale scale_for(double largest) {
  const double wanted = std::clamp(largest * 1.12, 0.01, 1.0);
  for (double power = 0.001;; power *= 10)
    for (const double factor : {1.0, 2.0, 5.0}) {
      const double step = power * factor;
      if (step * 6 >= wanted) return {std::min(1.0, step * std::ceil(wanted / step - 1e-9)), step};
    }
}

std::string percent(double share) { return fmt::format("{:.{}f} %", share * 100, share < 0.01 && share > 0 ? 1 : 0); }

Slice axis_slice(const Scale& scale, const PageText& page) {
  return {.height_mm = 7, .draw = [=](Canvas& canvas, PointMm at) {
            const Columns columns = columns_of(page.width_mm);
            const double x0 = at.x_mm + columns.picture_x_mm;
            canvas.rectangles(std::array{RectMm{x0, at.y_mm, columns.picture_mm, k_line_mm}});
            const TextStyle style = page.style(k_small_pt);
            const int steps = static_cast<int>(scale.end / scale.step + 1e-9);
            for (int i = 0; i <= steps; ++i) {
              const double share = i * scale.step;
              const double x = x0 + columns.picture_mm * share / scale.end;
              canvas.rectangles(std::array{RectMm{x - k_line_mm / 2, at.y_mm, k_line_mm, 1.4}});
              const std::string words = percent(share);
              canvas.paragraph(style, words, {x - page.text.measure(style, words).width_mm / 2, at.y_mm + 1.8}, 0);
            }
          }};
}

Slice bound_slice(const ReportBound& bound, double tolerable, const Scale& scale, const PageText& page) {
  const double height = row_height(page, bound.label, bound.note);
  return {
      .height_mm = height, .with_next = true, .draw = [=](Canvas& canvas, PointMm at) {
        draw_words(canvas, page, at, bound.label, bound.note);
        const Columns columns = columns_of(page.width_mm);
        const double x0 = at.x_mm + columns.picture_x_mm;
        const auto x_of = [&](double share) { return x0 + columns.picture_mm * std::min(1.0, share / scale.end); };
        const double middle = at.y_mm + k_row_mm / 2;
        canvas.rectangles(std::array{RectMm{x_of(bound.seen), middle - 0.2, x_of(bound.upper) - x_of(bound.seen), 0.4},
                                     RectMm{x_of(bound.upper) - 0.2, middle - 1.5, 0.4, 3.0}});
        draw_disc(canvas, {x_of(bound.seen), middle}, 1.1);
        if (tolerable <= 0) return;
        std::vector<RectMm> dashes;
        const int count = static_cast<int>(std::ceil(height / (2 * k_dash_mm)));
        for (int i = 0; i < count; ++i) {
          const double y = 2 * k_dash_mm * i;
          dashes.push_back({x_of(tolerable) - 0.12, at.y_mm + y, 0.24, std::min(k_dash_mm, height - y)});
        }
        canvas.tinted(dashes, 0.6);
      }};
}

}  // namespace

void cut(const ReportBars& block, const PageText& page, std::vector<Slice>& slices) {
  slices.push_back(title_slice(block.title, page));
  slices.push_back(legend_slice(block.parts, page));
  const auto whole = [](const ReportBar& bar) { return std::accumulate(bar.parts.begin(), bar.parts.end(), 0.0); };
  double largest = 0;
  for (const ReportBar& bar : block.bars) largest = std::max(largest, whole(bar));
  for (const ReportBar& bar : block.bars)
    slices.push_back({.height_mm = row_height(page, bar.label, bar.note), .draw = [=](Canvas& canvas, PointMm at) {
                        draw_words(canvas, page, at, bar.label, bar.note);
                        const Columns columns = columns_of(page.width_mm);
                        double x = at.x_mm + columns.picture_x_mm;
                        const double y = at.y_mm + (k_row_mm - k_bar_mm) / 2;
                        const double total = largest > 0 ? columns.picture_mm * whole(bar) / largest : 0;
                        if (total > 0) outline(canvas, {x, y, std::max(total, k_line_mm), k_bar_mm});
                        for (std::size_t i = 0; i < bar.parts.size(); ++i) {
                          const double w = largest > 0 ? columns.picture_mm * bar.parts[i] / largest : 0;
                          if (w > 0)
                            canvas.tinted(std::array{RectMm{x, y, w, k_bar_mm}}, k_shades[i % k_shades.size()]);
                          x += w;
                        }
                      }});
}

void cut(const ReportBounds& block, const PageText& page, std::vector<Slice>& slices) {
  double largest = block.tolerable;
  for (const ReportBound& bound : block.bounds) largest = std::max(largest, bound.upper);
  const Scale scale = scale_for(largest);
  slices.push_back(title_slice(block.title, page));
  std::string legend = "● seen in the draw    ├ upper bound";
  if (block.tolerable > 0) legend += "    ┆ " + block.tolerable_note;
  const TextStyle small = page.style(k_small_pt);
  slices.push_back({.height_mm = 4.5,
                    .with_next = true,
                    .draw = [=, x = columns_of(page.width_mm).picture_x_mm](Canvas& canvas, PointMm at) {
                      canvas.paragraph(small, legend, {at.x_mm + x, at.y_mm}, 0);
                    }});
  for (const ReportBound& bound : block.bounds) slices.push_back(bound_slice(bound, block.tolerable, scale, page));
  slices.push_back(axis_slice(scale, page));
}

}  // namespace sherdmark
