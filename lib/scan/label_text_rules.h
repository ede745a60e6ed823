// Thin dark lines in a picture: candidates for the rule that every text line of an artifact label stands on.
// Private to the reader of artifact labels.
#pragma once

#include <array>
#include <vector>

#include "scan/label_text_line_map.h"

namespace sherdmark::label_text {

// A dark line, straight or slightly bent, one to three pixels thick. It has no direction yet: which end comes first is
// decided by the text. All lengths in pixels of the picture searched.
struct RuleCandidate {
  PointF from;
  PointF to;
  double bend_px = 0;   // how far its middle lies off the straight way, towards the right hand of one who goes that way
  double depth = 0;     // mean strength of the line, in grey levels
  double scale_px = 1;  // pixels of the picture given in one pixel of the picture in which the line was found
};

// Every chain of line pixels at least `least_length_px` long inside the blocks that `where`, which has those of the
// map, marks.
[[nodiscard]] std::vector<RuleCandidate> find_rules(const LineMap& map, const BlockMask& where, double least_length_px);

// Whether the rule runs into the border of this picture, so near that the search could not follow it further: the
// border may have cut it off there. A line along the border is whole. In pixels of the picture given.
[[nodiscard]] bool is_cut_off(const RuleCandidate& rule, const GreyView& picture);

// Least squares of v = a + b t + c t^2; points are (t, v). All zero when they do not determine it.
[[nodiscard]] std::array<double, 3> fit_parabola(const std::vector<std::array<double, 2>>& points);

}  // namespace sherdmark::label_text
