#include "scan/label_text_evidence.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <optional>
#include <vector>

#include "sherdmark/scan/label_text.h"

namespace sherdmark::label_text {
namespace {

constexpr double k_least_depth = 0.15;       // of the paper's light: a faint line is a shadow
constexpr double k_least_length_em = 1;      // of the part of a rule that is seen
constexpr double k_least_cut_off_em = 0.45;  // likewise, where the border of the picture cut it off
constexpr double k_least_pale_em = 1.5;      // of a whole rule of which a part may be paler than its ink
constexpr double k_low_share = 0.06;         // of the rule's length may be paler …
constexpr double k_even_depth = 0.6;         // … than this share of its depth
constexpr double k_clear_share = 0.4;        // of the rule's depth, that the strips of paper beside it may be dark
constexpr double k_mark_share = 0.5;         // likewise, from which on something beyond the gap is a mark

// Light along the line, at a distance from it towards `up`, in pixels of one level of the pyramid.
class Beside {
 public:
  Beside(const Pyramid& pyramid, const RuleCandidate& rule, bool from_to)
      : scale_{rule.scale_px},
        view_{pyramid.level(static_cast<int>(std::lround(std::log2(rule.scale_px))))},
        bend_px_{(from_to ? -rule.bend_px : rule.bend_px) / rule.scale_px} {
    const PointF& from = from_to ? rule.from : rule.to;
    const PointF& to = from_to ? rule.to : rule.from;
    const double length = std::hypot(to.x - from.x, to.y - from.y);
    from_ = {from.x / scale_, from.y / scale_};
    along_ = {(to.x - from.x) / length, (to.y - from.y) / length};
    length_px_ = length / scale_;
  }

  [[nodiscard]] double length_px() const { return length_px_; }
  [[nodiscard]] double light(double t, double up_px) const {
    const PointF p = place_at_level(t, up_px);
    return static_cast<double>(sample(view_, p.x, p.y));
  }
  // In pixels of the picture given.
  [[nodiscard]] PointF place(double t, double up_px) const {
    const PointF p = place_at_level(t, up_px);
    return {p.x * scale_, p.y * scale_};
  }
  [[nodiscard]] bool in_picture(double t) const {
    const PointF p = place_at_level(t, 0);
    return p.x >= 0 && p.y >= 0 && p.x < view_.width_px && p.y < view_.height_px;
  }
  [[nodiscard]] double mean(double up_px) const {
    constexpr int k_samples = 24;
    std::array<double, k_samples> x, y;
    for (int i = 0; i < k_samples; ++i) {
      const PointF p = place_at_level(0.06 + 0.88 * (i + 0.5) / k_samples, up_px);
      x[static_cast<std::size_t>(i)] = p.x;
      y[static_cast<std::size_t>(i)] = p.y;
    }
    std::array<float, k_samples> seen;
    sample_each(view_, x.data(), y.data(), k_samples, seen.data());
    double sum = 0;
    for (const float light : seen) sum += static_cast<double>(light);
    return sum / k_samples;
  }

 private:
  [[nodiscard]] PointF place_at_level(double t, double up_px) const {
    const double off = up_px + 4 * t * (1 - t) * bend_px_, way = t * length_px_;
    return {from_.x + along_.x * way + along_.y * off, from_.y + along_.y * way - along_.x * off};
  }

  double scale_;
  GreyView view_;
  PointF from_;  // and below: in pixels of the level
  PointF along_;
  double bend_px_;
  double length_px_ = 0;
};

// The line across: how light the paper below it is, how deep and how thick it is.
struct Across {
  double paper = 0;
  double depth = 0;
  double thickness_px = 0;
  double width_px = 0;  // of a line as deep all over that takes as much light away

  [[nodiscard]] double widest_px() const { return std::max(thickness_px, width_px); }  // gloss makes it look thin
};

Across look_across(const Beside& beside) {
  constexpr int k_reach = 10;  // half pixels
  std::array<double, 2 * k_reach + 1> light{};
  for (int i = -k_reach; i <= k_reach; ++i) light[static_cast<std::size_t>(i + k_reach)] = beside.mean(i * 0.5);
  const auto middle = light.begin() + k_reach;
  Across across;
  across.paper = std::min(*std::max_element(light.begin(), middle), *std::max_element(middle, light.end()));
  const double dip = *std::min_element(middle - 2, middle + 3);
  across.depth = across.paper - dip;
  if (across.depth < k_least_depth * across.paper || across.paper <= 0) return {};
  double held = 0;
  for (const int way : {-1, 1})
    for (int i = way < 0 ? 0 : 1; i <= k_reach; ++i) {
      const double dark = across.paper - *(middle + way * i);
      if (dark < 0.12 * across.depth) break;
      held += 0.5 * dark;
    }
  across.thickness_px = held / (k_full_ink_share * across.paper);
  across.width_px = held / across.depth;
  return across;
}

// How dark the line is at a place along it (beyond its ends too), against the paper on its darker side.
double depth_at(const Beside& beside, double t, double paper) {
  const double dark = std::min({beside.light(t, -0.5), beside.light(t, 0), beside.light(t, 0.5)});
  const double near = std::min({paper, std::max(beside.light(t, 2.5), beside.light(t, 3.5)),
                                std::max(beside.light(t, -2.5), beside.light(t, -3.5))});
  return near - dark;
}

// A rule is as deep everywhere; the feet of a row of letters are not.
bool even(const Beside& beside, const Across& across) {
  const int places = std::clamp(static_cast<int>(beside.length_px()), 12, 120);
  std::vector<double> depths;
  for (int i = 0; i < places; ++i) {
    const double t = 0.04 + 0.92 * (i + 0.5) / places;
    depths.push_back(across.paper - std::min({beside.light(t, -0.5), beside.light(t, 0), beside.light(t, 0.5)}));
  }
  std::sort(depths.begin(), depths.end());
  const auto at = [&](double share) { return depths[static_cast<std::size_t>(share * (places - 1))]; };
  return at(k_low_share) > k_even_depth * at(0.9);
}

// A rule is as long as its text; a line that goes on beyond the part that was followed is something else. Where the
// picture ends nobody can say.
struct Ends {
  bool first = true, last = true;  // that must end there
};

// Depths of the line beyond one of its ends, from there outwards, as shares of its own.
constexpr int k_beyond_places = 8;
constexpr double k_beyond_step_em = 0.2 / 3;

std::array<double, k_beyond_places> depths_beyond(const Beside& beside, const Across& across, double em_px, bool last) {
  std::array<double, k_beyond_places> depths{};
  for (int i = 0; i < k_beyond_places; ++i) {
    const double beyond = (i + 1) * k_beyond_step_em * em_px / beside.length_px();
    const double t = last ? 1 + beyond : -beyond;
    if (beside.in_picture(t)) depths[static_cast<std::size_t>(i)] = depth_at(beside, t, across.paper) / across.depth;
  }
  return depths;
}

// Where clear paper follows on the end, nearly as wide as a label's margin, the line has ended, whatever begins behind
// it: a label may lie against another line. Short lines with gaps between are the bars of letters.
bool goes_on(const Beside& beside, const Across& across, const LabelLook& look, const Ends& ends) {
  constexpr double k_clear_depth = 0.3, k_deep = 0.5, k_deep_share = 0.6, k_margin_share = 0.7;
  constexpr double k_longer_than_bars_em = 3;  // two T of a bag label's text
  constexpr int k_first_deep = 2;
  const double em_px = across.thickness_px / look.rule_em;
  const bool may_be_bars = beside.length_px() < k_longer_than_bars_em * em_px;
  const auto margin_places = static_cast<int>(std::lround(k_margin_share * look.margin_em / k_beyond_step_em));
  for (const bool last : {false, true}) {
    if (last ? !ends.last : !ends.first) continue;
    const auto depths = depths_beyond(beside, across, em_px, last);
    const auto margin = std::search_n(depths.begin(), depths.end(), margin_places, k_clear_depth, std::less<>{});
    if (!may_be_bars && margin - depths.begin() <= k_first_deep) continue;
    const auto deep = std::count_if(depths.begin() + k_first_deep, depths.end(), [](double d) { return d > k_deep; });
    if (static_cast<double>(deep) > k_deep_share * (k_beyond_places - k_first_deep)) return true;
  }
  return false;
}

// Share of the places along a strip that are darker than `limit`, and how often dark and light change.
struct Marks {
  double share = 0;
  int changes = 0;
};

Marks marks(const Beside& beside, double from_px, double to_px, double step_px, double limit) {
  const int places = std::max(8, static_cast<int>(beside.length_px() / step_px));
  Marks found;
  bool before = false;
  for (int i = 0; i < places; ++i) {
    double darkest = 255;
    for (double up = from_px; up <= to_px; up += 0.7) darkest = std::min(darkest, beside.light((i + 0.5) / places, up));
    const bool dark = darkest < limit;
    found.share += dark ? 1.0 / places : 0;
    found.changes += i > 0 && dark != before ? 1 : 0;
    before = dark;
  }
  return found;
}

// The line itself, which is the same from both of its sides.
struct LineLook {
  Across across;
  bool of_a_label = false;  // as deep, as long and as even as a rule, and it ends where it should
  bool uneven = false;      // it would be, but for being paler somewhere
};

LineLook look_at_line(const Beside& beside, const LabelLook& look, double longest_em, bool cut_off, const Ends& ends) {
  LineLook line{look_across(beside)};
  if (line.across.thickness_px <= 0) return line;
  const double length_em = beside.length_px() * look.rule_em / line.across.thickness_px;
  if (length_em < (cut_off ? k_least_cut_off_em : k_least_length_em)) return line;
  if (beside.length_px() * look.rule_em > longest_em * line.across.widest_px()) return line;
  line.uneven = length_em > longest_em || !even(beside, line.across);
  line.of_a_label = !line.uneven && !goes_on(beside, line.across, look, ends);
  return line;
}

// What stands on that side of a line, if it is a label's.
std::optional<RuleSign> look_on_one_side(const Beside& beside, const LineLook& line, const RuleCandidate& rule,
                                         const LabelLook& look, bool cut_off) {
  constexpr double k_most_clear = 0.2;    // share of the strips beside the rule where something may stand
  constexpr double k_most_in_gap = 0.45;  // above it, for the tails of letters
  if (!line.of_a_label) return std::nullopt;
  const Across& across = line.across;
  const double em_px = across.thickness_px / look.rule_em;
  const double length_em = beside.length_px() / em_px;
  const double clear = across.paper - k_clear_share * across.depth;
  const double step = std::max(0.7, 0.06 * em_px);
  if (marks(beside, -0.26 * em_px, -0.16 * em_px, step, clear).share > k_most_clear) return std::nullopt;
  const double gap_to = look.baseline_em - 0.07;
  if (marks(beside, 0.14 * em_px, std::max(0.16, gap_to) * em_px, step, clear).share > k_most_in_gap)
    return std::nullopt;
  // The feet of the letters alone, should the rest be covered; or their lower halves.
  const int least_changes = cut_off ? 1 : 2;  // of one character cut through there is one edge
  const auto like_text = [&](double height_em) {
    const Marks text = marks(beside, (look.baseline_em + 0.03) * em_px, (look.baseline_em + height_em) * em_px, step,
                             across.paper - k_mark_share * across.depth);
    return text.changes >= least_changes && text.share >= 0.1;
  };
  // A text that was crossed out is one bar from end to end, with paper above it again.
  const auto like_text_crossed_out = [&] {
    constexpr double k_bar_share = 0.9, k_strip_em = 0.1, k_first_em = 0.4, k_highest_em = 1.3;
    constexpr double k_least_crossed_em = 2.5;  // the strokes of E or F, one over the other, are shorter
    if (length_em < k_least_crossed_em) return false;
    const auto strip = [&](double from_em, double to_em, double limit) {
      return marks(beside, (look.baseline_em + from_em) * em_px, (look.baseline_em + to_em) * em_px, step, limit).share;
    };
    if (strip(0.03, 0.32, across.paper - k_mark_share * across.depth) < k_bar_share) return false;
    for (double up = k_first_em; up <= k_highest_em; up += k_strip_em)
      if (strip(up, up + k_strip_em, clear) <= k_most_clear) return true;
    return false;
  };
  if (!like_text(0.16) && !like_text(0.32) && !(cut_off && like_text(0.75)) && !like_text_crossed_out())
    return std::nullopt;
  RuleSign sign;
  sign.thickness_px = across.thickness_px * rule.scale_px;
  sign.most_thickness_px = across.widest_px() * rule.scale_px;
  const double top = (look.baseline_em + 0.75) * em_px, foot = -0.1 * em_px;
  sign.corners = {beside.place(0, top), beside.place(1, top), beside.place(1, foot), beside.place(0, foot)};
  return sign;
}

struct Part {
  double from, to;
};
constexpr std::array k_parts{Part{0, 0.67}, Part{0.33, 1}, Part{0, 0.5}, Part{0.5, 1},
                             Part{0, 0.33}, Part{0.67, 1}, Part{0, 0.2}, Part{0.8, 1}};
constexpr std::size_t k_parts_of_whole = 6;  // the others are looked at only where the border cut the rule off …
constexpr double k_long_em = 4;              // … or where a fifth of it is about as long as a letter

RuleCandidate part_of(const RuleCandidate& rule, double from, double to) {
  const auto at = [&](double t) {
    const double bow = 4 * t * (1 - t) * rule.bend_px;
    const double length = std::hypot(rule.to.x - rule.from.x, rule.to.y - rule.from.y);
    const double x = (rule.to.x - rule.from.x) / length, y = (rule.to.y - rule.from.y) / length;
    return PointF{rule.from.x + t * (rule.to.x - rule.from.x) - y * bow,
                  rule.from.y + t * (rule.to.y - rule.from.y) + x * bow};
  };
  RuleCandidate part = rule;
  part.from = at(from);
  part.to = at(to);
  part.bend_px = rule.bend_px * (to - from) * (to - from);
  return part;
}

// A part of a rule, and how it looks as a line by itself.
struct PartLook {
  RuleCandidate rule;
  bool cut_off = false;
  LineLook line;
};

std::vector<PartLook> parts_of(const Pyramid& pyramid, const RuleCandidate& rule, const LabelLook& look,
                               double longest_em, bool in_fifths) {
  std::vector<PartLook> parts;
  for (std::size_t i = 0; i < (in_fifths ? k_parts.size() : k_parts_of_whole); ++i) {
    const bool has_first = k_parts[i].from <= 0;
    PartLook part;
    part.rule = part_of(rule, k_parts[i].from, k_parts[i].to);
    part.cut_off = is_cut_off(part.rule, pyramid.level(0));
    part.line = look_at_line({pyramid, part.rule, true}, look, longest_em, part.cut_off, {has_first, !has_first});
    parts.push_back(part);
  }
  return parts;
}

}  // namespace

std::vector<RuleSign> look_for_label(const Pyramid& pyramid, const RuleCandidate& rule, const LabelLook& look,
                                     double longest_em) {
  std::vector<RuleSign> signs;
  const bool cut_off = is_cut_off(rule, pyramid.level(0));
  const LineLook line = look_at_line({pyramid, rule, true}, look, longest_em, cut_off, {});
  if (!line.of_a_label && !line.uneven) return signs;
  const double length_px = std::hypot(rule.to.x - rule.from.x, rule.to.y - rule.from.y);
  const bool in_fifths = cut_off || length_px / rule.scale_px * look.rule_em > k_long_em * line.across.widest_px();
  const std::vector<PartLook> parts =
      line.uneven ? parts_of(pyramid, rule, look, longest_em, in_fifths) : std::vector<PartLook>{};
  for (const bool from_to : {true, false}) {
    std::optional<RuleSign> sign = look_on_one_side({pyramid, rule, from_to}, line, rule, look, cut_off);
    // Gloss or dirt on a part of it: the rest of a rule is a rule still.
    for (auto part = parts.begin(); !sign && part != parts.end(); ++part)
      sign = look_on_one_side({pyramid, part->rule, from_to}, part->line, part->rule, look, part->cut_off);
    if (!sign) continue;
    const bool may_be_paler = line.uneven && length_px * look.rule_em > k_least_pale_em * sign->most_thickness_px;
    if (!may_be_paler) sign->most_thickness_px = sign->thickness_px;
    signs.push_back(*sign);
  }
  return signs;
}

}  // namespace sherdmark::label_text
