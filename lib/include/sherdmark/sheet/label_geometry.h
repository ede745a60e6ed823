// The shape of an artifact label, in numbers that the drawing, the text reader and the tests share.
//
// From the top edge of the label down: the padding, then the first line. Each line of text stands on a thin rule that
// is exactly as long as the line: its left end is the pen start of the first character, its right end the pen end of
// the last (the sum of the advances, no kerning). All lines begin at the same left edge. Lengths in em are multiples
// of the type size.
//
//   padding | ascent | baseline | rule gap | rule | … next baseline one line pitch lower … | rule | padding
//
// A micro-code, where there is one, stands to the right of the text, k_code_gap_em from its widest line to the
// symbol's quiet zone; text and code are centred on the label's height. The padding all round is the design's
// trimming tolerance.
#pragma once

#include <cstddef>

#include "sherdmark/base/units.h"

namespace sherdmark {

inline constexpr double k_label_ascent_em =
    0.82;                                        // room above a baseline; taller than 0-9A-Za-z/-() of the known faces
inline constexpr double k_rule_gap_em = 0.30;    // baseline to the top edge of the rule; deeper than any descender
inline constexpr double k_line_pitch_em = 1.35;  // baseline to baseline
inline constexpr double k_code_gap_em = 0.35;

// Height of the text block: top of the first line's ascent to the bottom edge of the last rule.
[[nodiscard]] constexpr double label_text_height_mm(std::size_t lines, double size_pt, double rule_mm) {
  const double pitches = static_cast<double>(lines == 0 ? 0 : lines - 1) * k_line_pitch_em;
  return pt_to_mm(size_pt) * (k_label_ascent_em + pitches + k_rule_gap_em) + rule_mm;
}

// Baseline of line `index` (from 0) below the top of the text block.
[[nodiscard]] constexpr double label_baseline_mm(std::size_t index, double size_pt) {
  return pt_to_mm(size_pt) * (k_label_ascent_em + static_cast<double>(index) * k_line_pitch_em);
}

// Top edge of the text block below the top edge of a label of that height: the block is centred.
[[nodiscard]] constexpr double label_text_top_mm(double label_height_mm, std::size_t lines, double size_pt,
                                                 double rule_mm) {
  return (label_height_mm - label_text_height_mm(lines, size_pt, rule_mm)) / 2;
}

}  // namespace sherdmark
