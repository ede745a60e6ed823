// One line of a label, straightened: where it lies in the picture, and its pixels on the reader's grid.
// Private to the reader of artifact labels.
#pragma once

#include <cstdint>
#include <vector>

#include "scan/label_text_glyphs.h"
#include "scan/label_text_pyramid.h"

namespace sherdmark::label_text {

// A line as it lies in the picture, in pixels of the picture given. Text runs along `along` from `start`, the start of
// its rule; `up` is the direction from the rule to the text.
struct LineFrame {
  PointF start;
  PointF along;            // unit
  PointF up;               // unit, at right angles to `along`
  double length_px = 0;    // of the rule
  double bend_px = 0;      // how far the middle of the rule lies towards `up` off the straight way
  double em_up_px = 0;     // type size across the line
  double width_em = 0;     // of the text; length_px / width_em is the type size along the line
  double baseline_em = 0;  // from the middle of the rule up to the baseline
  double slant = 0;        // how far a thing one em up is shifted along the line
  double start_em = 0;     // where the text starts and ends off the rule's ends, in em
  double end_em = 0;
  double curl = 0;     // how far its quarters are shifted towards the ends, as share of its length: a round body
  double squeeze = 0;  // how far the middle of the text is shifted along the line, as share of its length

  [[nodiscard]] double em_along_px() const { return length_px / width_em; }
  // A place `x_em` along the line and `y_em` over the baseline.
  [[nodiscard]] PointF at(double x_em, double y_em) const;
};

// Ink is positive: 8 times (255 - grey). Columns -k_pad … width + k_pad.
struct Strip {
  int columns = 0;  // of the text, without padding
  int stride = 0;
  std::vector<std::int16_t> ink;      // k_rows x stride, then k_strip_tail zeros
  std::vector<std::int64_t> sums;     // running sums of the columns, stride + 1
  std::vector<std::int64_t> squares;  // likewise of squares

  // Sum of squares about the mean of the columns [first, first + count).
  [[nodiscard]] double energy(int first, int count) const;
  [[nodiscard]] const std::int16_t* row(int r) const { return ink.data() + r * stride + k_pad; }
};

inline constexpr int k_strip_tail = 8;    // a glyph's padding may reach beyond the last row
inline constexpr double k_ink_units = 8;  // a grey level in units of Strip::ink

// `column_em` as in the glyph bank. The pyramid level is chosen by the line's size.
[[nodiscard]] Strip take_strip(const Pyramid& pyramid, const LineFrame& frame, double column_em);

// Correlation with a glyph whose pen starts at a column: sum of ink x template, in units of Strip::ink.
[[nodiscard]] double correlate(const Strip& strip, const GlyphTemplate& glyph, int column);

}  // namespace sherdmark::label_text
