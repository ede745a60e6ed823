#include <algorithm>
#include <cmath>

#include "scan/label_text_line.h"

namespace sherdmark::label_text {
namespace {

// The contrast of one glyph may differ so much from its line's: shade, gloss, worn toner.
constexpr double k_least_share_of_contrast = 0.6;
constexpr double k_most_share_of_contrast = 1.45;

}  // namespace

GlyphCosts::GlyphCosts(const GlyphBank& bank, const Strip& strip, int blur, double contrast, int shift_columns)
    : bank_{bank}, strip_{strip}, blur_{blur}, contrast_{contrast}, shift_{shift_columns} {
  known_.assign(bank.characters().size() * static_cast<std::size_t>(strip.columns + k_pad), -1.0F);
  if (contrast > 0)
    unit_ = contrast * contrast * bank.mean_energy(blur);
  else
    unit_ = std::max(1.0, strip.energy(0, strip.columns)) * 12.0 / std::max(1, strip.columns);
}

double GlyphCosts::cost(int glyph, int column) {
  float& known = known_[static_cast<std::size_t>(glyph) * static_cast<std::size_t>(strip_.columns + k_pad) +
                        static_cast<std::size_t>(column)];
  if (known < 0) known = static_cast<float>(measure(glyph, column));
  return static_cast<double>(known);
}

double GlyphCosts::measure(int glyph, int column) const {
  const GlyphTemplate& pattern = bank_.glyph(blur_, glyph);
  if (column + pattern.columns + shift_ > strip_.columns + k_pad) return 1e3;
  double best = std::numeric_limits<double>::infinity();
  for (int shift = -shift_; shift <= shift_; ++shift) {
    const double energy = strip_.energy(column + shift, pattern.columns);
    const double match = correlate(strip_, pattern, column + shift);
    double contrast = std::max(0.0, match / pattern.energy);
    if (contrast_ > 0)
      contrast = std::clamp(contrast, k_least_share_of_contrast * contrast_, k_most_share_of_contrast * contrast_);
    best = std::min(best, energy - 2 * contrast * match + contrast * contrast * pattern.energy);
  }
  return std::max(0.0, best / unit_);
}

FreeText read_freely(const GlyphBank& bank, const Strip& strip, GlyphCosts& costs) {
  struct Cell {
    double cost = std::numeric_limits<double>::infinity();
    int glyph = -1;
  };
  std::vector<Cell> best(static_cast<std::size_t>(strip.columns) + 1);
  best[0].cost = 0;
  const int glyphs = static_cast<int>(bank.characters().size());
  for (int x = 0; x < strip.columns; ++x) {
    const double so_far = best[static_cast<std::size_t>(x)].cost;
    if (std::isinf(so_far)) continue;
    for (int g = 0; g < glyphs; ++g) {
      const int next = x + bank.glyph(0, g).columns;
      if (next > strip.columns) continue;
      const double cost = so_far + costs.cost(g, x);
      Cell& cell = best[static_cast<std::size_t>(next)];
      if (cost < cell.cost) cell = {cost, g};
    }
  }
  FreeText text;
  int x = strip.columns;
  while (x > 0 && best[static_cast<std::size_t>(x)].glyph < 0) --x;  // proportional: nearest column reached
  if (x == 0 || x + 1 < strip.columns) return text;
  const double energy = strip.energy(0, x);
  text.unexplained = energy > 0 ? best[static_cast<std::size_t>(x)].cost * costs.unit() / energy : 1;
  while (x > 0) {
    const int glyph = best[static_cast<std::size_t>(x)].glyph;
    text.glyphs.push_back(glyph);
    x -= bank.glyph(0, glyph).columns;
  }
  std::reverse(text.glyphs.begin(), text.glyphs.end());
  return text;
}

namespace {

// Least squares of the characters' shifts (as shares of the length) in the two ways a frame can bend along itself.
void fit_shifts(const std::vector<double>& even, const std::vector<double>& seen, UnevenText& text) {
  double aa = 0, ab = 0, bb = 0, as = 0, bs = 0;
  for (std::size_t i = 0; i < even.size(); ++i) {
    const double f = even[i];
    const double a = 4 * f * (1 - f);
    const double b = a * (2 * f - 1);
    const double shift = seen[i] - f;
    aa += a * a;
    ab += a * b;
    bb += b * b;
    as += a * shift;
    bs += b * shift;
  }
  const double determinant = aa * bb - ab * ab;
  if (determinant < 1e-12) return;
  text.squeeze = (as * bb - bs * ab) / determinant;
  text.curl = (bs * aa - as * ab) / determinant;
}

}  // namespace

UnevenText read_unevenly(const GlyphBank& bank, const Strip& strip, GlyphCosts& costs) {
  constexpr double k_cost_of_a_column = 0.03;
  struct Cell {
    double cost = std::numeric_limits<double>::infinity();
    int glyph = -1;
    int from = 0;
  };
  std::vector<Cell> best(static_cast<std::size_t>(strip.columns) + 1);
  best[0].cost = 0;
  const int glyphs = static_cast<int>(bank.characters().size());
  for (int x = 0; x < strip.columns; ++x) {
    const double so_far = best[static_cast<std::size_t>(x)].cost;
    if (std::isinf(so_far)) continue;
    for (int g = 0; g < glyphs; ++g) {
      for (int stretch = -1; stretch <= 1; ++stretch) {
        const int next = x + bank.glyph(0, g).columns + stretch;
        if (next > strip.columns) continue;
        const double cost = so_far + costs.cost(g, x) + std::abs(stretch) * k_cost_of_a_column;
        Cell& cell = best[static_cast<std::size_t>(next)];
        if (cost < cell.cost) cell = {cost, g, x};
      }
    }
  }
  UnevenText text;
  if (best.back().glyph < 0) return text;
  std::vector<int> columns;
  for (int x = strip.columns; x > 0; x = best[static_cast<std::size_t>(x)].from) {
    text.pens.push_back(best[static_cast<std::size_t>(x)].from);
    columns.push_back(bank.glyph(0, best[static_cast<std::size_t>(x)].glyph).columns);
    text.width_columns += columns.back();
  }
  std::reverse(text.pens.begin(), text.pens.end());
  std::reverse(columns.begin(), columns.end());
  const double energy = strip.energy(0, strip.columns);
  text.unexplained = energy > 0 ? best.back().cost * costs.unit() / energy : 1;
  std::vector<double> even, seen;
  int pen = 0;
  for (std::size_t i = 0; i < columns.size(); pen += columns[i++]) {
    even.push_back(static_cast<double>(pen) / text.width_columns);
    seen.push_back(static_cast<double>(text.pens[i]) / strip.columns);
  }
  fit_shifts(even, seen, text);
  return text;
}

double unexplained_by(const GlyphBank& bank, const Strip& strip, const std::vector<int>& glyphs, int blur,
                      double* contrast) {
  double match = 0;
  double pattern_energy = 0;
  double energy = 0;
  int column = 0;
  for (const int glyph : glyphs) {
    const GlyphTemplate& pattern = bank.glyph(blur, glyph);
    if (column + pattern.columns > strip.columns + k_pad) break;
    match += correlate(strip, pattern, column);
    pattern_energy += pattern.energy;
    energy += strip.energy(column, pattern.columns);
    column += pattern.columns;
  }
  if (match <= 0 || energy <= 0 || pattern_energy <= 0) return 1;
  if (contrast != nullptr) *contrast = match / pattern_energy;
  return 1 - match * match / (pattern_energy * energy);
}

}  // namespace sherdmark::label_text
