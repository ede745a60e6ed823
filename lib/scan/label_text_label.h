// Lines that belong to one label, read together by the grammar, and the decision whether the text is sure.
// Private to the reader of artifact labels.
#pragma once

#include <vector>

#include "scan/label_text_check.h"
#include "sherdmark/scan/label_text.h"

namespace sherdmark::label_text {

struct LabelLimits {
  double least_share = 0.22;        // Separation::share from every rival text
  double least_significance = 4.0;  // Separation::significance
  double most_left_share = 0.12;    // of a line's ink unexplained
  double most_glyph_left = 0.25;    // of one glyph's ink unexplained
  double most_end_off_em = 0.06;    // rule's ends off the text's
  double least_rule_weight = 0.45;  // weakest part of the rule against its mean
  double thickness_factor = 1.6;    // rule thicker or thinner than designed
  double most_clutter = 0.10;       // ink beyond the line's ends
  double most_rule_above = 0.20;    // a line of text above that was not read
};

// Indices of lines of one label, top to bottom.
[[nodiscard]] std::vector<std::vector<std::size_t>> group_lines(const std::vector<SeenLine>& lines);

struct LabelContext {
  const GlyphBank& bank;
  const LabelAutomaton& automaton;
  const LabelLook& look;
  const LabelLimits& limits;
  const HouseStandard& standard;
};

[[nodiscard]] TextReading read_label(const LabelContext& context, const Pyramid& pyramid,
                                     const std::vector<SeenLine>& lines);

}  // namespace sherdmark::label_text
