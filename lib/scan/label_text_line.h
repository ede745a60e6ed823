// One line of text over one rule: its geometry found, its blur and contrast measured, the cost of every glyph at every
// place. Private to the reader of artifact labels.
#pragma once

#include <array>
#include <cstddef>
#include <limits>
#include <optional>
#include <vector>

#include "scan/label_text_grammar.h"
#include "scan/label_text_rules.h"
#include "scan/label_text_strip.h"

namespace sherdmark::label_text {

// What a standard's artifact labels look like, in em.
struct LabelLook {
  double rule_em = 0;      // thickness of the rule
  double baseline_em = 0;  // from the middle of the rule up to the baseline
  double margin_em = 0;    // clear paper round the text
  int longest_line = 0;    // characters
};

// Cost of a glyph at a column: the ink there that it leaves unexplained, in units of a mean glyph's ink. With contrast
// 0 any contrast is taken; otherwise only those near it. Asked repeatedly, answered once.
class GlyphCosts {
 public:
  GlyphCosts(const GlyphBank& bank, const Strip& strip, int blur, double contrast, int shift_columns);
  [[nodiscard]] double cost(int glyph, int column);
  [[nodiscard]] double unit() const { return unit_; }  // a mean glyph's ink, in squared units of the strip

 private:
  [[nodiscard]] double measure(int glyph, int column) const;

  const GlyphBank& bank_;
  const Strip& strip_;
  int blur_;
  double contrast_;
  int shift_;
  double unit_ = 1;
  std::vector<float> known_;  // negative: not asked yet
};

struct SeenLine {
  LineFrame frame;
  Strip strip;
  int blur = k_first_blur;
  double contrast = 0;      // of ink, in units of the strip
  double unexplained = 1;   // share of the line's ink that the best unruled text leaves over
  std::vector<int> glyphs;  // that text
};

// Type sizes that are looked for, in pixels of the picture given.
struct SizeRange {
  double least_em_px = 0;
  double most_em_px = std::numeric_limits<double>::infinity();
};

class LineFinder {
 public:
  LineFinder(const GlyphBank& bank, const LabelLook& look, const SizeRange& range = {})
      : bank_{bank}, look_{look}, range_{range} {}

  // The line on each side of a rule (coordinates of the picture given), or nothing that looks like text of the house
  // font: first the side that lies up when the rule runs from `from` to `to` left to right.
  [[nodiscard]] std::array<std::optional<SeenLine>, 2> find(const Pyramid& pyramid, const RuleCandidate& rule) const;

 private:
  struct Guess {
    LineFrame frame;
    double unexplained = 1;
  };
  // A width of the text in em, and the type size across the line that suits it.
  struct Size {
    double width_em;
    double em_up_px;
    double match;  // with the look of the line from the side
  };
  // On the side of a rule that lies up in the frame.
  [[nodiscard]] std::optional<SeenLine> find_over(const Pyramid& pyramid, const RuleCandidate& rule,
                                                  LineFrame frame) const;
  [[nodiscard]] double mean_advance_em() const;
  [[nodiscard]] std::vector<Size> likely_sizes(const Pyramid& pyramid, const LineFrame& frame, double scale_px) const;
  [[nodiscard]] Guess try_size(const Pyramid& pyramid, const LineFrame& frame, const Size& size) const;
  [[nodiscard]] std::optional<SeenLine> start_unevenly(const Pyramid& pyramid, const LineFrame& frame,
                                                       const std::vector<Guess>& guesses) const;
  [[nodiscard]] std::optional<SeenLine> follow_unevenly(const Pyramid& pyramid,
                                                        const std::vector<Guess>& guesses) const;
  [[nodiscard]] SeenLine refine(const Pyramid& pyramid, const Guess& guess) const;

  const GlyphBank& bank_;
  const LabelLook& look_;
  SizeRange range_;
};

// Text with the least unexplained ink that fills the strip, without any grammar; its share left over in `unexplained`.
struct FreeText {
  std::vector<int> glyphs;
  double unexplained = 1;
};
[[nodiscard]] FreeText read_freely(const GlyphBank& bank, const Strip& strip, GlyphCosts& costs);

// The same where characters stand unevenly: each advance may be a column wider or narrower.
struct UnevenText {
  std::vector<int> pens;  // column where each character starts
  int width_columns = 0;  // of the characters if they stood evenly
  double squeeze = 0;     // to add to the frame's
  double curl = 0;
  double unexplained = 1;
};
[[nodiscard]] UnevenText read_unevenly(const GlyphBank& bank, const Strip& strip, GlyphCosts& costs);

// Share of the strip's ink that this text leaves over at the best single contrast, which is written to `contrast`.
[[nodiscard]] double unexplained_by(const GlyphBank& bank, const Strip& strip, const std::vector<int>& glyphs, int blur,
                                    double* contrast);

// The line as a text would show it at contrast 1: ink 0 … 1 over the whole strip, k_rows x stride.
[[nodiscard]] std::vector<float> draw_model(const GlyphBank& bank, const Strip& strip, int blur,
                                            const std::vector<int>& glyphs);

// Moves the line's frame by one Gauss-Newton step towards the best fit of its own text, if that fits better.
// `line.unexplained` is what its text leaves over before and afterwards.
void settle_frame(const GlyphBank& bank, const Pyramid& pyramid, SeenLine& line);

// A rule as it was found, with the side up that lies so when it runs from `from` to `to` left to right.
[[nodiscard]] LineFrame frame_of(const RuleCandidate& rule);

// The course of a rule (place, direction, bend) followed along its darkest pixels at a level of the pyramid.
void settle_course(const Pyramid& pyramid, LineFrame& frame, int level);

// The ends of a rule moved to where its depth falls to half.
void settle_ends(const Pyramid& pyramid, LineFrame& frame, double scale_px);

// The same line, its course and ends found again at a finer level.
[[nodiscard]] RuleCandidate seen_finer(const Pyramid& pyramid, const RuleCandidate& rule, int level);

}  // namespace sherdmark::label_text
