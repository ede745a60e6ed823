// The house font's glyphs as the camera sees them: on the reader's own grid, at several degrees of blur.
// Private to the reader of artifact labels.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "sherdmark/type/typeface.h"

namespace sherdmark::label_text {

// The grid on which lines are compared: rows from the top of the ascenders down to the descenders.
inline constexpr int k_rows = 22;
inline constexpr double k_row_em = 0.05;
inline constexpr double k_top_em = 0.85;  // upper edge of the first row over the baseline
inline constexpr int k_pad = 8;           // columns of spill kept on both sides of a glyph, and of a line

// Degrees of blur as the standard deviation of a Gaussian, in em.
inline constexpr std::array k_blurs_em{0.015, 0.035, 0.055, 0.075, 0.10, 0.13, 0.165};
inline constexpr int k_blurs = static_cast<int>(k_blurs_em.size());
inline constexpr int k_first_blur = 2;  // fits most pictures well enough to find a line's geometry

inline constexpr int k_template_scale = 1000;

struct GlyphTemplate {
  int columns = 0;                    // its advance
  int padded_columns = 0;             // the next multiple of eight
  std::vector<std::int16_t> matched;  // k_rows x padded_columns, ink less its mean, times k_template_scale, then zeros
  double energy = 0;                  // sum of squares of `matched` / k_template_scale
  std::vector<float> ink;             // k_rows x (columns + 2 k_pad), 0 … 1
};

class GlyphBank {
 public:
  GlyphBank(const Typeface& face, std::u32string characters);

  [[nodiscard]] const std::u32string& characters() const { return characters_; }
  [[nodiscard]] const GlyphTemplate& glyph(int blur, int index) const {
    return glyphs_[static_cast<std::size_t>(blur)][static_cast<std::size_t>(index)];
  }
  [[nodiscard]] double mean_energy(int blur) const { return mean_energy_[static_cast<std::size_t>(blur)]; }
  [[nodiscard]] double column_em() const { return column_em_; }
  // Advance of every glyph in columns when all are equal (a monospaced font), else 0.
  [[nodiscard]] int pitch_columns() const { return pitch_columns_; }
  [[nodiscard]] double cap_height_em() const { return cap_height_em_; }
  // Rows of the grid that lie at even steps over the baseline, as the one at step 0 and how far the next is above it.
  struct RowsAlong {
    double first;
    double step;
  };
  [[nodiscard]] static RowsAlong rows_along(double first_over_baseline_em, double step_em) {
    return {(k_top_em - first_over_baseline_em) / k_row_em - 0.5, step_em / k_row_em};
  }
  // Mean ink over all characters at one of these steps: what a line of text looks like from the side. Once a step of a
  // profile, hence here.
  [[nodiscard]] double row_ink(const RowsAlong& rows, double steps) const {
    const double row = rows.first - steps * rows.step;
    if (row < 0 || row >= k_rows - 1) return 0;
    const auto above = static_cast<std::size_t>(static_cast<int>(row));
    const double share = row - static_cast<double>(static_cast<int>(row));
    return (1 - share) * row_ink_[above] + share * row_ink_[above + 1];
  }

 private:
  std::u32string characters_;
  std::array<std::vector<GlyphTemplate>, k_blurs> glyphs_;
  std::array<double, k_blurs> mean_energy_{};
  double column_em_ = k_row_em;
  int pitch_columns_ = 0;
  double cap_height_em_ = 0;
  std::array<double, k_rows> row_ink_{};
};

}  // namespace sherdmark::label_text
