// Clear paper beyond the ends of a line of text: whatever covers an end shows there.
#include <algorithm>
#include <cmath>
#include <vector>

#include "scan/label_text_check.h"

namespace sherdmark::label_text {
namespace {

constexpr int k_first_row = 1, k_parts = 4, k_rows_a_part = 5;
constexpr double k_near_em = 0.05, k_far_em = 0.10;  // the strip of paper that is looked at
constexpr double k_least_edge_em = 0.12;             // nearer than this, a dark edge is a cover and not the label's own

// Ink of the paper half a glyph outside one end, carried on in a straight line from the glyphs nearest to it.
double paper_beyond(std::vector<double> paper, bool at_end) {
  constexpr std::size_t k_nearest = 6;
  if (at_end) std::reverse(paper.begin(), paper.end());
  paper.resize(std::min(paper.size(), k_nearest));
  const auto count = static_cast<double>(paper.size());
  double mean = 0, slope = 0, spread = 0;
  for (const double ink : paper) mean += ink / count;
  for (std::size_t i = 0; i < paper.size(); ++i) {
    const double x = static_cast<double>(i) - (count - 1) / 2;
    slope += x * (paper[i] - mean);
    spread += x * x;
  }
  return spread > 0 ? mean - slope / spread * count / 2 : mean;
}

// What lies beyond one end of the text, less the text's own spill: columns counted outwards from the end.
class Beyond {
 public:
  Beyond(const Strip& strip, const std::vector<float>& model, double contrast, bool at_end)
      : strip_{strip}, model_{model}, contrast_{contrast}, at_end_{at_end} {}

  // Mean ink of the rows [first, last) over the columns [from, to), to at most k_pad.
  [[nodiscard]] double ink(int first, int last, int from, int to) const {
    double sum = 0;
    for (int r = first; r < last; ++r)
      for (int i = from; i < to; ++i) {
        const int c = at_end_ ? strip_.columns + i : -1 - i;
        sum += strip_.row(r)[c] -
               contrast_ * static_cast<double>(model_[static_cast<std::size_t>(r * strip_.stride + k_pad + c)]);
      }
    return sum / ((last - first) * (to - from));
  }

 private:
  const Strip& strip_;
  const std::vector<float>& model_;
  double contrast_;
  bool at_end_;
};

// The label's own edge, where a darker body begins, seen through the blur that the text shows: what of it spills over
// the columns [near, far). 0 when the edge lies too near to be the label's, or when there is none within reach.
double spill_of_edge(const Beyond& beyond, double paper, double blur_columns, int least_edge, int near, int far) {
  constexpr int k_last_row = k_first_row + k_parts * k_rows_a_part;
  const auto ink_at = [&](int column) { return beyond.ink(k_first_row, k_last_row, column, column + 1) - paper; };
  const double rise = ink_at(k_pad - 1);
  if (rise <= 0) return 0;
  double edge = -1;
  double before = ink_at(0);
  if (before >= rise / 2) return 0;
  for (int column = 1; column < k_pad && edge < 0; ++column) {
    const double here = ink_at(column);
    if (here >= rise / 2) edge = column - 0.5 + (rise / 2 - before) / std::max(1e-9, here - before);
    before = here;
  }
  if (edge < least_edge) return 0;
  double sum = 0;
  for (int column = near; column < far; ++column)
    sum += 0.5 * std::erfc((edge - column - 0.5) / (blur_columns * std::sqrt(2.0)));
  return rise * sum / (far - near);
}

}  // namespace

double clutter_at_ends(const GlyphBank& bank, const SeenLine& line, const std::vector<int>& glyphs,
                       const TextFit& fit) {
  const auto columns = [&bank](double em) { return static_cast<int>(std::lround(em / bank.column_em())); };
  const std::vector<float> model = draw_model(bank, line.strip, line.blur, glyphs);
  const int near = columns(k_near_em), far = columns(k_far_em);
  const double blur_columns = k_blurs_em[static_cast<std::size_t>(line.blur)] / bank.column_em();
  double worst = 0;
  for (const bool at_end : {false, true}) {
    const Beyond beyond{line.strip, model, line.contrast, at_end};
    const double paper = paper_beyond(fit.paper, at_end);
    const double spill = spill_of_edge(beyond, paper, blur_columns, columns(k_least_edge_em), near, far);
    for (int part = 0; part < k_parts; ++part) {
      const int first = k_first_row + part * k_rows_a_part;
      worst = std::max(worst, beyond.ink(first, first + k_rows_a_part, near, far) - paper - spill);
    }
  }
  return worst / line.contrast;
}

}  // namespace sherdmark::label_text
