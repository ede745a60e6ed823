// What must hold before a line or a text is believed: the rule and its ends, clear paper beyond them, every glyph
// explained, and the distance to every rival text. Private to the reader of artifact labels.
#pragma once

#include <vector>

#include "scan/label_text_line.h"

namespace sherdmark::label_text {

// A line's ink against one text, glyph by glyph, each with its neighbours' spill.
struct TextFit {
  std::vector<double> left;      // sum of squares left over, per glyph
  std::vector<double> contrast;  // per glyph
  std::vector<double> model;     // energy of the model per glyph, contrast 1
  std::vector<double> paper;     // ink of the bare paper round each glyph, in units of the strip
  double left_share = 1;         // of the whole line's energy
  double noise = 0;              // variance left over per grid cell
};
[[nodiscard]] TextFit fit_text(const GlyphBank& bank, const SeenLine& line, const std::vector<int>& glyphs);

// The rule under a line, measured in the line's own frame.
struct RuleCheck {
  bool seen = false;        // both ends were found
  double start_off_em = 0;  // its ends off the ends of the text
  double end_off_em = 0;
  double thickness_em = 0;    // from the ink it holds
  double weakest = 0;         // least depth along it, as share of its mean depth
  double clutter_before = 0;  // ink on the paper before and after the line, as share of the text's contrast
  double clutter_after = 0;
};
[[nodiscard]] RuleCheck check_rule(const Pyramid& pyramid, const SeenLine& line);

// Ink on the paper close before and behind the line, over that between its glyphs, as share of the text's contrast; the
// larger of the two. Something that covers an end of the line shows here. The spill of the label's own edge, at the
// blur that the text shows, is taken off.
[[nodiscard]] double clutter_at_ends(const GlyphBank& bank, const SeenLine& line, const std::vector<int>& glyphs,
                                     const TextFit& fit);

// Depth of a dark line that would belong to a line of text above this one, as share of the text's contrast.
[[nodiscard]] double rule_above(const Pyramid& pyramid, const SeenLine& line);

// Whether close above the line, where its label's paper or another's would be, dark and paper take turns as in print: a
// line of a label that was not read as one, for its rule is covered or gone.
[[nodiscard]] bool print_above(const Pyramid& pyramid, const SeenLine& line, double cap_height_em);

// How far the ink lies from the rival towards the text: 1 when it shows the text exactly, 0 half way, -1 the rival.
// `significance` is the same in standard deviations of the noise. Texts of equal length in columns only; the glyphs
// of a whole label with k_line_end between lines.
struct Separation {
  double share = 1;
  double significance = 1e9;
};
[[nodiscard]] Separation separate(const GlyphBank& bank, const std::vector<SeenLine>& lines,
                                  const std::vector<int>& text, const std::vector<int>& rival);

}  // namespace sherdmark::label_text
