#include "scan/label_text_head.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "sherdmark/scan/label_text.h"

namespace sherdmark::label_text {
namespace {

// Of the design of carriers (sheet/carrier_label): a hairline, and the number's baseline 0.24 of its size over it; the
// smallest number is of 9 pt, the largest in use of 36 pt. All in mm.
constexpr double k_hairline_mm = 0.12;
constexpr double k_least_line_mm = 8;
constexpr double k_clear_from_mm = 0.3, k_clear_below_mm = 0.8, k_clear_above_mm = 0.65;
constexpr double k_print_to_mm = 12.5;
constexpr double k_step_mm = 0.2;
constexpr double k_most_hairline_ratio = 1.6;  // it may lie nearer or farther than the codes that give the scale

constexpr double k_even_paper = 0.85;       // the darker side of a line, of the lighter one; an edge has two grounds
constexpr double k_ink_share = 0.55;        // of the paper's light, under which there is ink
constexpr double k_most_in_clear = 0.04;    // share of a clear strip where something may lie
constexpr double k_longest_stroke_mm = 10;  // a longer dark run is no print
constexpr double k_least_bold_mm2 = 0.8;    // of ink with ink on all sides of it
constexpr double k_most_inked = 0.85;       // of a band of type

// The surroundings of a line: rows upwards from below it, columns along it.
class Surroundings {
 public:
  Surroundings(const GreyView& picture, const PointF& from, const PointF& to, double px_per_mm) {
    const double length = std::hypot(to.x - from.x, to.y - from.y), step = k_step_mm * px_per_mm;
    const PointF along{(to.x - from.x) / length * step, (to.y - from.y) / length * step};
    columns_ = static_cast<int>(length / step);
    rows_ = row_at(k_print_to_mm) + 1;
    light_.reserve(static_cast<std::size_t>(rows_) * static_cast<std::size_t>(columns_));
    for (int row = 0; row < rows_; ++row)
      for (int column = 0; column < columns_; ++column) {
        const double up = row - k_clear_below_mm / k_step_mm, way = column + 0.5;
        light_.push_back(sample(picture, from.x + way * along.x + up * along.y, from.y + way * along.y - up * along.x));
      }
    ink_ = static_cast<float>(k_ink_share) * median(k_clear_from_mm, k_clear_above_mm);
  }

  [[nodiscard]] static int row_at(double up_mm) {
    return static_cast<int>(std::lround((up_mm + k_clear_below_mm) / k_step_mm));
  }
  [[nodiscard]] bool is_ink(int row, int column) const {
    return light_[static_cast<std::size_t>(first(row) + column)] < ink_;
  }
  [[nodiscard]] bool is_clear(double from_mm, double to_mm) const {
    int inked = 0, places = 0;
    for (int row = row_at(from_mm); row <= row_at(to_mm); ++row, places += columns_)
      for (int column = 0; column < columns_; ++column) inked += is_ink(row, column) ? 1 : 0;
    return inked <= k_most_in_clear * places;
  }
  [[nodiscard]] bool has_ink(int row) const {
    int inked = 0;
    for (int column = 0; column < columns_; ++column) inked += is_ink(row, column) ? 1 : 0;
    return inked >= 2;
  }
  [[nodiscard]] double longest_dark_run_mm(int row) const {
    int longest = 0, run = 0;
    for (int column = 0; column < columns_; ++column) {
      run = is_ink(row, column) ? run + 1 : 0;
      longest = std::max(longest, run);
    }
    return longest * k_step_mm;
  }
  [[nodiscard]] bool is_bold(int row, int column) const {
    for (int y = row - 1; y <= row + 1; ++y)
      for (int x = column - 1; x <= column + 1; ++x)
        if (!is_ink(y, x)) return false;
    return true;
  }
  [[nodiscard]] int columns() const { return columns_; }

 private:
  [[nodiscard]] std::ptrdiff_t first(int row) const { return static_cast<std::ptrdiff_t>(row) * columns_; }

  [[nodiscard]] float median(double from_mm, double to_mm) const {
    std::vector<float> sorted(light_.begin() + first(row_at(from_mm)), light_.begin() + first(row_at(to_mm) + 1));
    const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2);
    std::nth_element(sorted.begin(), middle, sorted.end());
    return *middle;
  }

  int columns_ = 0, rows_ = 0;
  std::vector<float> light_;
  float ink_ = 0;
};

// A thin dark line with paper as light on its one side as on its other, looked at here and there: most lines are edges.
// How thick one of full ink would be that takes as much light away; 0 for any other.
double thickness_mm(const GreyView& picture, const PointF& from, const PointF& to, double px_per_mm) {
  constexpr int k_places = 32, k_across = 5;
  constexpr double k_across_mm = 0.05, k_beside_mm = 0.5, k_least_depth = 0.15;
  const double length = std::hypot(to.x - from.x, to.y - from.y);
  const double across_x = (to.y - from.y) / length * px_per_mm, across_y = -(to.x - from.x) / length * px_per_mm;
  const auto mean_light = [&](double up_mm) {
    double sum = 0;
    for (int i = 0; i < k_places; ++i) {
      const double t = (i + 0.5) / k_places;
      sum += static_cast<double>(sample(picture, from.x + t * (to.x - from.x) + up_mm * across_x,
                                        from.y + t * (to.y - from.y) + up_mm * across_y));
    }
    return sum / k_places;
  };
  const double above = mean_light(k_beside_mm), below = mean_light(-k_beside_mm), paper = std::max(above, below);
  if (std::min(above, below) < k_even_paper * paper || mean_light(0) > (1 - k_least_depth) * paper) return 0;
  double held = 0;
  for (int j = -k_across; j <= k_across; ++j) held += std::max(0.0, paper - mean_light(j * k_across_mm)) * k_across_mm;
  return held / (k_full_ink_share * paper);
}

// The first band of print over the line: higher than the room under it, as a number's capitals are, bold, and with
// paper between its letters: what an artifact label is glued to has none.
bool bold_type_stands_over(const Surroundings& around) {
  constexpr double k_least_height_of_room = 1.5;  // capitals of 0.73 em stand 0.24 em over the line
  const int last = Surroundings::row_at(k_print_to_mm) - 1;
  int foot = Surroundings::row_at(k_clear_above_mm) + 1;
  while (foot <= last && !around.has_ink(foot)) ++foot;
  int inked = 0, bold = 0, head = foot;
  for (; head <= last && around.has_ink(head); ++head) {
    if (around.longest_dark_run_mm(head) > k_longest_stroke_mm) return false;
    for (int column = 0; column < around.columns(); ++column) inked += around.is_ink(head, column) ? 1 : 0;
    for (int column = 1; column + 1 < around.columns(); ++column) bold += around.is_bold(head, column) ? 1 : 0;
  }
  return head - foot >= k_least_height_of_room * (foot - Surroundings::row_at(0)) &&
         inked <= k_most_inked * (head - foot) * around.columns() && bold * k_step_mm * k_step_mm >= k_least_bold_mm2;
}

}  // namespace

std::optional<Corners> look_for_head(const GreyView& picture, const RuleCandidate& rule, double px_per_mm) {
  const double length_px = std::hypot(rule.to.x - rule.from.x, rule.to.y - rule.from.y);
  if (length_px < k_least_line_mm * px_per_mm) return std::nullopt;
  const double ratio = thickness_mm(picture, rule.from, rule.to, px_per_mm) / k_hairline_mm;
  if (ratio > k_most_hairline_ratio || ratio < 1 / k_most_hairline_ratio) return std::nullopt;
  for (const bool from_to : {true, false}) {
    const PointF& from = from_to ? rule.from : rule.to;
    const PointF& to = from_to ? rule.to : rule.from;
    const Surroundings around{picture, from, to, px_per_mm};
    if (!around.is_clear(-k_clear_below_mm, -k_clear_from_mm) || !around.is_clear(k_clear_from_mm, k_clear_above_mm))
      continue;
    if (!bold_type_stands_over(around)) continue;
    const PointF up{(to.y - from.y) / length_px * k_print_to_mm * px_per_mm,
                    -(to.x - from.x) / length_px * k_print_to_mm * px_per_mm};
    return Corners{PointF{from.x + up.x, from.y + up.y}, {to.x + up.x, to.y + up.y}, to, from};
  }
  return std::nullopt;
}

}  // namespace sherdmark::label_text
