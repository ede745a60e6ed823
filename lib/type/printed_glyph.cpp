#include "type/printed_glyph.h"

#include <algorithm>
#include <cmath>

#include "sherdmark/base/units.h"
#include "sherdmark/type/legibility.h"

namespace sherdmark {
namespace {

constexpr int k_samples_per_dot = 2;  // while the toner spreads; the result keeps one sample a dot

using Grid = PrintedGlyph;

Grid empty_grid(int width, int height) {
  return {width, height, std::vector<float>(static_cast<std::size_t>(width) * static_cast<std::size_t>(height), 0.0F)};
}

float& cell(Grid& grid, int x, int y) {
  return grid.ink[static_cast<std::size_t>(y) * static_cast<std::size_t>(grid.width) + static_cast<std::size_t>(x)];
}

// The printer either sets a dot or not. `left` in dots.
void set_dots(Grid& grid, const GreyPicture& coverage, int left, int top) {
  for (int y = 0; y < coverage.height_px() * k_samples_per_dot; ++y)
    for (int x = 0; x < coverage.width_px() * k_samples_per_dot; ++x)
      if (coverage.row(y / k_samples_per_dot)[x / k_samples_per_dot] >= 128) {
        const int to_x = x + left * k_samples_per_dot;
        const int to_y = y + top * k_samples_per_dot;
        if (to_x >= 0 && to_y >= 0 && to_x < grid.width && to_y < grid.height) cell(grid, to_x, to_y) = 1.0F;
      }
}

void set_rule(Grid& grid, int left, int right, int top, int dots) {
  for (int y = top * k_samples_per_dot; y < std::min(grid.height, (top + dots) * k_samples_per_dot); ++y)
    for (int x = left * k_samples_per_dot; x < std::min(grid.width, right * k_samples_per_dot); ++x)
      cell(grid, x, y) = 1.0F;
}

Grid spread_toner(const Grid& dots, double radius) {
  Grid spread = empty_grid(dots.width, dots.height);
  const int reach = static_cast<int>(std::floor(radius));
  for (int y = 0; y < dots.height; ++y)
    for (int x = 0; x < dots.width; ++x) {
      float most = 0;
      for (int dy = -reach; dy <= reach; ++dy)
        for (int dx = -reach; dx <= reach; ++dx)
          if (dx * dx + dy * dy <= radius * radius + 1e-9) most = std::max(most, dots.at(x + dx, y + dy));
      cell(spread, x, y) = most;
    }
  return spread;
}

std::vector<float> gaussian(double sigma) {
  const int reach = std::max(1, static_cast<int>(std::ceil(3 * sigma)));
  std::vector<float> kernel;
  double sum = 0;
  for (int i = -reach; i <= reach; ++i) {
    const double weight = std::exp(-0.5 * i * i / std::max(1e-6, sigma * sigma));
    kernel.push_back(static_cast<float>(weight));
    sum += weight;
  }
  for (float& weight : kernel) weight = static_cast<float>(weight / sum);
  return kernel;
}

Grid blur(const Grid& sharp, double sigma) {
  const std::vector<float> kernel = gaussian(sigma);
  const int reach = static_cast<int>(kernel.size() / 2);
  Grid across = empty_grid(sharp.width, sharp.height);
  Grid both = across;
  for (int y = 0; y < sharp.height; ++y)
    for (int x = 0; x < sharp.width; ++x)
      for (int i = -reach; i <= reach; ++i)
        cell(across, x, y) += kernel[static_cast<std::size_t>(i + reach)] * sharp.at(x + i, y);
  for (int y = 0; y < sharp.height; ++y)
    for (int x = 0; x < sharp.width; ++x)
      for (int i = -reach; i <= reach; ++i)
        cell(both, x, y) += kernel[static_cast<std::size_t>(i + reach)] * across.at(x, y + i);
  return both;
}

Grid keep_one_sample_a_dot(const Grid& fine) {
  Grid coarse = empty_grid(fine.width / k_samples_per_dot, fine.height / k_samples_per_dot);
  for (int y = 0; y < coarse.height; ++y)
    for (int x = 0; x < coarse.width; ++x)
      for (int i = 0; i < k_samples_per_dot * k_samples_per_dot; ++i)
        cell(coarse, x, y) +=
            fine.at(x * k_samples_per_dot + i % k_samples_per_dot, y * k_samples_per_dot + i / k_samples_per_dot) /
            (k_samples_per_dot * k_samples_per_dot);
  return coarse;
}

double energy(const PrintedGlyph& glyph) {
  double sum = 0;
  for (const float v : glyph.ink) sum += static_cast<double>(v) * static_cast<double>(v);
  return sum;
}

double overlap(const PrintedGlyph& a, const PrintedGlyph& b, int dx, int dy) {
  const int left = std::max(0, -dx);
  const int right = std::min(a.width, b.width - dx);
  double sum = 0;
  for (int y = std::max(0, -dy); y < std::min(a.height, b.height - dy); ++y) {
    const float* pa = a.ink.data() + static_cast<std::ptrdiff_t>(y) * a.width;
    const float* pb = b.ink.data() + static_cast<std::ptrdiff_t>(y + dy) * b.width + dx;
    float row = 0;
    for (int x = left; x < right; ++x) row += pa[x] * pb[x];
    sum += static_cast<double>(row);
  }
  return sum;
}

}  // namespace

PrintedGlyph print_line(const Typeface& face, std::u32string_view line, const PrintedRule& rule,
                        const ReadingConditions& conditions) {
  const double dots_per_em = mm_to_dots(pt_to_mm(conditions.size_pt), conditions.printer_dpi);
  const double samples_per_mm = mm_to_dots(1.0, conditions.printer_dpi) * k_samples_per_dot;
  const double eye_mm = height_for(conditions.eye_blur_arcmin, conditions.distance_mm);
  const double sigma = eye_mm * samples_per_mm;
  const int margin = static_cast<int>(std::ceil(3 * sigma / k_samples_per_dot)) + 1;
  std::vector<Typeface::GlyphPicture> glyphs;
  int height = 0;
  double width = 0;
  for (const char32_t c : line) {
    glyphs.push_back(face.draw_glyph(c, dots_per_em));
    height = std::max(height, glyphs.back().ink.height_px());
    width += glyphs.back().advance_px;
  }
  if (glyphs.empty()) return {};
  const int columns = std::max(static_cast<int>(std::ceil(width)), glyphs.back().ink.width_px());
  Grid dots = empty_grid((columns + 2 * margin) * k_samples_per_dot, (height + 2 * margin) * k_samples_per_dot);
  double pen = 0;
  for (const Typeface::GlyphPicture& glyph : glyphs) {
    set_dots(dots, glyph.ink, margin + static_cast<int>(std::lround(pen)), margin);
    pen += glyph.advance_px;
  }
  if (rule.thickness_mm > 0) {
    const double top = glyphs.front().baseline_px + rule.gap_em * dots_per_em;
    const int thick = std::max(1, static_cast<int>(std::lround(mm_to_dots(rule.thickness_mm, conditions.printer_dpi))));
    set_rule(dots, margin, margin + static_cast<int>(std::lround(width)), margin + static_cast<int>(std::lround(top)),
             thick);
  }
  return keep_one_sample_a_dot(blur(spread_toner(dots, conditions.toner_spread_mm * samples_per_mm), sigma));
}

PrintedGlyph print_glyph(const Typeface& face, char32_t character, const ReadingConditions& conditions) {
  return print_line(face, std::u32string_view{&character, 1}, {}, conditions);
}

PrintedGlyph turned_upside_down(const PrintedGlyph& glyph) {
  PrintedGlyph turned = glyph;
  std::reverse(turned.ink.begin(), turned.ink.end());
  return turned;
}

PrintedGlyph stretched(const PrintedGlyph& glyph, double factor) {
  PrintedGlyph wide = empty_grid(std::max(1, static_cast<int>(std::lround(glyph.width * factor))), glyph.height);
  for (int x = 0; x < wide.width; ++x) {
    const double from = (x + 0.5) / factor - 0.5;
    const int left = static_cast<int>(std::floor(from));
    const auto share = static_cast<float>(from - left);
    for (int y = 0; y < wide.height; ++y)
      cell(wide, x, y) = (1.0F - share) * glyph.at(left, y) + share * glyph.at(left + 1, y);
  }
  return wide;
}

double shape_distance(const PrintedGlyph& a, const PrintedGlyph& b, int most_x, int most_y) {
  const double norm = std::sqrt(energy(a) * energy(b));
  if (norm <= 0) return a.ink.empty() == b.ink.empty() ? 0.0 : 1.0;
  double best = 0;
  for (int dy = -most_y; dy <= most_y; ++dy)
    for (int dx = -most_x; dx <= most_x; ++dx) best = std::max(best, overlap(a, b, dx, dy));
  return std::max(0.0, 1.0 - best / norm);
}

}  // namespace sherdmark
