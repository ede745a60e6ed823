// That a thin dark line is the rule of an artifact label, even where its text cannot be made out: hidden, glossy, cut
// off. Private to the reader of artifact labels.
#pragma once

#include "scan/label_text_line.h"
#include "scan/label_text_rules.h"

namespace sherdmark::label_text {

// A rule seen by itself: clear paper on both of its sides, then marks on one of them as a line of text makes them.
struct RuleSign {
  double thickness_px = 0;  // in pixels of the picture given; 0: no sign of a label
  Corners corners{};        // of the line of text that would stand on it
};

// `longest_em`: no line of text is longer. Either side may be up; the better sign counts.
[[nodiscard]] RuleSign look_for_label(const Pyramid& pyramid, const RuleCandidate& rule, const LabelLook& look,
                                      double longest_em);

}  // namespace sherdmark::label_text
