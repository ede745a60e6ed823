#include "scan/label_text_glyphs.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "sherdmark/base/wide.h"

namespace sherdmark::label_text {
namespace {

constexpr double k_drawn_px_per_em = 60;
constexpr int k_columns_of_a_pitch = 12;

// Weights with which drawn pixels add up to cells of the grid after a Gaussian blur: cell i is centred on
// first_em + (i + 0.5) step_em, drawn pixel j covers [j, j + 1) / k_drawn_px_per_em.
struct Blend {
  struct Cell {
    int from = 0;
    std::vector<float> weights;
  };
  std::vector<Cell> cells;
};

Blend make_blend(int cells, double first_em, double step_em, double blur_em, int drawn_px) {
  Blend blend;
  const double sigma = std::sqrt(blur_em * blur_em + step_em * step_em / 12) * k_drawn_px_per_em;
  const int reach = static_cast<int>(std::ceil(3 * sigma));
  for (int i = 0; i < cells; ++i) {
    const double middle = (first_em + (i + 0.5) * step_em) * k_drawn_px_per_em;
    Blend::Cell cell;
    cell.from = std::clamp(static_cast<int>(std::floor(middle)) - reach, 0, drawn_px);
    const int to = std::clamp(static_cast<int>(std::ceil(middle)) + reach, cell.from, drawn_px);
    for (int j = cell.from; j < to; ++j) {
      const double off = (j + 0.5 - middle) / sigma;
      cell.weights.push_back(static_cast<float>(std::exp(-off * off / 2) / (sigma * std::sqrt(2 * 3.14159265358979))));
    }
    blend.cells.push_back(std::move(cell));
  }
  return blend;
}

// A drawn glyph's ink, 0 … 1, row by row.
struct DrawnInk {
  explicit DrawnInk(const GreyPicture& drawn) : width{static_cast<std::size_t>(drawn.width_px())} {
    for (int y = 0; y < drawn.height_px(); ++y)
      for (std::size_t x = 0; x < width; ++x) ink.push_back(static_cast<float>(drawn.row(y)[x]) / 255.0F);
  }
  [[nodiscard]] const float* row(int y) const { return ink.data() + static_cast<std::size_t>(y) * width; }

  std::size_t width;
  std::vector<float> ink;
};

// Ink on the grid, k_rows x columns, 0 … 1. The rows of the grid lie side by side while it is blended, so that the
// machine adds many at once.
SHERDMARK_WIDE std::vector<float> blend_ink(const DrawnInk& drawn, const Blend& across, const Blend& down) {
  const std::size_t columns = across.cells.size();
  const std::size_t width = drawn.width;
  std::vector<float> line(width);
  std::vector<std::array<float, k_rows>> rows(width);
  for (std::size_t r = 0; r < k_rows; ++r) {
    std::fill(line.begin(), line.end(), 0.0F);
    const Blend::Cell& cell = down.cells[r];
    for (std::size_t j = 0; j < cell.weights.size(); ++j) {
      const float* in = drawn.row(cell.from + static_cast<int>(j));
      const float weight = cell.weights[j];
      for (std::size_t x = 0; x < width; ++x) line[x] += weight * in[x];
    }
    for (std::size_t x = 0; x < width; ++x) rows[x][r] = line[x];
  }
  std::vector<float> ink(k_rows * columns, 0);
  for (std::size_t c = 0; c < columns; ++c) {
    const Blend::Cell& cell = across.cells[c];
    const std::array<float, k_rows>* from = rows.data() + cell.from;
    std::array<float, k_rows> sum{};
    for (std::size_t j = 0; j < cell.weights.size(); ++j)
      for (std::size_t r = 0; r < k_rows; ++r) sum[r] += cell.weights[j] * from[j][r];
    for (std::size_t r = 0; r < k_rows; ++r) ink[r * columns + c] = sum[r];
  }
  return ink;
}

void fill_matched(GlyphTemplate& glyph) {
  const auto columns = static_cast<std::size_t>(glyph.columns);
  const std::size_t stride = columns + 2 * k_pad;
  double mean = 0;
  for (std::size_t r = 0; r < k_rows; ++r)
    for (std::size_t c = 0; c < columns; ++c) mean += static_cast<double>(glyph.ink[r * stride + k_pad + c]);
  mean /= static_cast<double>(k_rows * columns);
  glyph.padded_columns = (glyph.columns + 7) / 8 * 8;
  const auto padded = static_cast<std::size_t>(glyph.padded_columns);
  glyph.matched.assign(k_rows * padded, 0);
  for (std::size_t r = 0; r < k_rows; ++r) {
    for (std::size_t c = 0; c < columns; ++c) {
      const double value = static_cast<double>(glyph.ink[r * stride + k_pad + c]) - mean;
      glyph.matched[r * padded + c] = static_cast<std::int16_t>(std::lround(value * k_template_scale));
      glyph.energy += value * value;
    }
  }
}

struct Blends {
  std::array<Blend, k_blurs> across;
  std::array<Blend, k_blurs> down;
};

Blends make_blends(int columns, double column_em, const Typeface::GlyphPicture& drawn) {
  Blends blends;
  for (std::size_t blur = 0; blur < k_blurs; ++blur) {
    blends.across[blur] =
        make_blend(columns + 2 * k_pad, -k_pad * column_em, column_em, k_blurs_em[blur], drawn.ink.width_px());
    blends.down[blur] = make_blend(k_rows, drawn.baseline_px / k_drawn_px_per_em - k_top_em, k_row_em, k_blurs_em[blur],
                                   drawn.ink.height_px());
  }
  return blends;
}

bool is_monospaced(const Typeface& face, const std::u32string& characters) {
  return std::all_of(characters.begin(), characters.end(), [&](char32_t c) {
    return std::abs(face.advance_em(c) - face.advance_em(characters.front())) < 1e-3;
  });
}

}  // namespace

GlyphBank::GlyphBank(const Typeface& face, std::u32string characters)
    : characters_{std::move(characters)}, cap_height_em_{face.cap_height_em()} {
  if (characters_.empty()) return;
  if (is_monospaced(face, characters_)) {
    pitch_columns_ = k_columns_of_a_pitch;
    column_em_ = face.advance_em(characters_.front()) / k_columns_of_a_pitch;
  }
  std::map<int, Blends> blends;  // by columns
  for (const char32_t character : characters_) {
    const Typeface::GlyphPicture drawn = face.draw_glyph(character, k_drawn_px_per_em);
    const int columns = std::max(1, static_cast<int>(std::lround(face.advance_em(character) / column_em_)));
    const auto [entry, is_new] = blends.try_emplace(columns);
    if (is_new) entry->second = make_blends(columns, column_em_, drawn);
    const DrawnInk ink{drawn.ink};
    for (std::size_t blur = 0; blur < k_blurs; ++blur) {
      GlyphTemplate glyph;
      glyph.columns = columns;
      glyph.ink = blend_ink(ink, entry->second.across[blur], entry->second.down[blur]);
      fill_matched(glyph);
      mean_energy_[blur] += glyph.energy / static_cast<double>(characters_.size());
      glyphs_[blur].push_back(std::move(glyph));
    }
  }
  for (std::size_t r = 0; r < k_rows; ++r)
    for (const GlyphTemplate& glyph : glyphs_[k_first_blur])
      for (std::size_t c = 0; c < static_cast<std::size_t>(glyph.columns); ++c)
        row_ink_[r] +=
            static_cast<double>(glyph.ink[r * static_cast<std::size_t>(glyph.columns + 2 * k_pad) + k_pad + c]) /
            (glyph.columns * static_cast<double>(characters_.size()));
}

}  // namespace sherdmark::label_text
