// That a thin dark line is the rule of an artifact label, even where its text cannot be made out: hidden, glossy, cut
// off. Private to the reader of artifact labels.
#pragma once

#include <vector>

#include "scan/label_text_line.h"
#include "scan/label_text_rules.h"

namespace sherdmark::label_text {

// A rule seen by itself: clear paper on both of its sides, then marks on one of them as a line of text makes them.
struct RuleSign {
  double thickness_px = 0;       // in pixels of the picture given, had its ink the darkness of full ink
  double most_thickness_px = 0;  // the same, or more where gloss or dirt made it paler: as wide as it looks
  Corners corners{};             // of the line of text that would stand on it
};

// The signs of a label on either side of a line, at most two: between two labels that lie close together, the rule of
// one has text on both sides. `longest_em`: no line of text is longer.
[[nodiscard]] std::vector<RuleSign> look_for_label(const Pyramid& pyramid, const RuleCandidate& rule,
                                                   const LabelLook& look, double longest_em);

}  // namespace sherdmark::label_text
