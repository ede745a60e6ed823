// A line's frame, moved until its text fits best.
#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "scan/label_text_line.h"
#include "sherdmark/base/wide.h"

namespace sherdmark::label_text {
namespace {

// What can be wrong about a frame: how to change it, a small step, and how far it is usually off (in the same unit).
struct Freedom {
  void (*move)(LineFrame&, double);
  double step;
  double usual;
};

constexpr std::array k_freedoms{
    Freedom{[](LineFrame& f, double by) { f.em_up_px *= 1 + by; }, 0.01, 0.06},
    Freedom{[](LineFrame& f, double by) { f.baseline_em += by; }, 0.01, 0.03},
    Freedom{[](LineFrame& f, double by) { f.slant += by; }, 0.02, 0.10},
    Freedom{[](LineFrame& f, double by) { f.start_em += by; }, 0.02, 0.05},
    Freedom{[](LineFrame& f, double by) { f.end_em += by; }, 0.02, 0.05},
    Freedom{[](LineFrame& f, double by) { f.bend_px += by * f.em_up_px; }, 0.01, 0.03},
    Freedom{[](LineFrame& f, double by) { f.squeeze += by / f.width_em; }, 0.02, 0.05},
    Freedom{[](LineFrame& f, double by) { f.curl += by / f.width_em; }, 0.02, 0.08},
};
constexpr std::size_t k_unknowns = k_freedoms.size() + 2;  // and the paper's ink and the contrast

using Row = std::array<double, k_unknowns>;

struct Equations {
  std::array<Row, k_unknowns> matrix{};
  Row right{};
};

// Gaussian elimination with pivots; false when the equations do not determine all unknowns.
bool solve(Equations& e, Row& answer) {
  for (std::size_t i = 0; i < k_unknowns; ++i) {
    std::size_t pivot = i;
    for (std::size_t r = i + 1; r < k_unknowns; ++r)
      if (std::abs(e.matrix[r][i]) > std::abs(e.matrix[pivot][i])) pivot = r;
    if (std::abs(e.matrix[pivot][i]) < 1e-9) return false;
    std::swap(e.matrix[i], e.matrix[pivot]);
    std::swap(e.right[i], e.right[pivot]);
    for (std::size_t r = i + 1; r < k_unknowns; ++r) {
      const double share = e.matrix[r][i] / e.matrix[i][i];
      for (std::size_t c = i; c < k_unknowns; ++c) e.matrix[r][c] -= share * e.matrix[i][c];
      e.right[r] -= share * e.right[i];
    }
  }
  for (std::size_t i = k_unknowns; i-- > 0;) {
    double sum = e.right[i];
    for (std::size_t c = i + 1; c < k_unknowns; ++c) sum -= e.matrix[i][c] * answer[c];
    answer[i] = sum / e.matrix[i][i];
  }
  return true;
}

// ink + sum of slopes x moves = paper + contrast x model, by least squares over the text's columns.
SHERDMARK_WIDE Equations normal_equations(const Strip& strip, const std::array<Strip, k_freedoms.size()>& moved,
                                          const std::vector<float>& model) {
  // Wider than needed, with zeros, so that the machine has no number left over.
  constexpr std::size_t k_wide = (k_unknowns + 3) / 4 * 4;
  std::array<std::array<double, k_wide>, k_unknowns> sums{};
  std::array<float, k_wide> row{};
  Equations e;
  const auto stride = static_cast<std::size_t>(strip.stride);
  for (std::size_t r = 0; r < k_rows; ++r) {
    for (std::size_t c = k_pad - 2; c < stride - k_pad + 2; ++c) {
      const std::size_t at = r * stride + c;
      for (std::size_t k = 0; k < k_freedoms.size(); ++k)
        row[k] = static_cast<float>(moved[k].ink[at] - strip.ink[at]) / static_cast<float>(k_freedoms[k].step);
      row[k_unknowns - 2] = -1;
      row[k_unknowns - 1] = -model[at];
      const auto ink = static_cast<float>(strip.ink[at]);
      for (std::size_t i = 0; i < k_unknowns; ++i) {
        for (std::size_t j = 0; j < k_wide; ++j) sums[i][j] += static_cast<double>(row[i] * row[j]);
        e.right[i] -= static_cast<double>(row[i] * ink);
      }
    }
  }
  for (std::size_t i = 0; i < k_unknowns; ++i)
    for (std::size_t j = 0; j < k_unknowns; ++j) e.matrix[i][j] = sums[i][j];
  return e;
}

}  // namespace

std::vector<float> draw_model(const GlyphBank& bank, const Strip& strip, int blur, const std::vector<int>& glyphs) {
  const auto stride = static_cast<std::size_t>(strip.stride);
  std::vector<float> model(k_rows * stride, 0);
  int pen = 0;
  for (const int index : glyphs) {
    const GlyphTemplate& glyph = bank.glyph(blur, index);
    const int wide = glyph.columns + 2 * k_pad;
    for (int r = 0; r < k_rows; ++r) {
      const float* from = &glyph.ink[static_cast<std::size_t>(r * wide)];
      float* to = &model[static_cast<std::size_t>(r) * stride];
      for (int c = 0; c < wide && pen + c < strip.stride; ++c) to[pen + c] += from[c];
    }
    pen += glyph.columns;
  }
  return model;
}

void settle_frame(const GlyphBank& bank, const Pyramid& pyramid, SeenLine& line) {
  std::array<Strip, k_freedoms.size()> moved;
  for (std::size_t k = 0; k < k_freedoms.size(); ++k) {
    LineFrame frame = line.frame;
    k_freedoms[k].move(frame, k_freedoms[k].step);
    moved[k] = take_strip(pyramid, frame, bank.column_em());
  }
  const std::vector<float> model = draw_model(bank, line.strip, line.blur, line.glyphs);
  Equations equations = normal_equations(line.strip, moved, model);
  // Without evidence nothing moves: each freedom is held as if by a tenth of the line's ink.
  const double energy = line.strip.energy(0, line.strip.columns) * 0.02;
  for (std::size_t k = 0; k < k_freedoms.size(); ++k)
    equations.matrix[k][k] += energy / (k_freedoms[k].usual * k_freedoms[k].usual);
  Row answer{};
  if (!solve(equations, answer)) return;
  for (double share = 1; share > 0.2; share /= 2) {
    LineFrame frame = line.frame;
    for (std::size_t k = 0; k < k_freedoms.size(); ++k) {
      const double most = 2 * k_freedoms[k].usual;
      k_freedoms[k].move(frame, share * std::clamp(answer[k], -most, most));
    }
    Strip strip = take_strip(pyramid, frame, bank.column_em());
    double contrast = 0;
    const double left = unexplained_by(bank, strip, line.glyphs, line.blur, &contrast);
    if (left >= line.unexplained) continue;
    line.frame = frame;
    line.strip = std::move(strip);
    line.contrast = contrast;
    line.unexplained = left;
    return;
  }
}

}  // namespace sherdmark::label_text
