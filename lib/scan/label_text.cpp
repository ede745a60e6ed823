#include "sherdmark/scan/label_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "scan/label_text_evidence.h"
#include "scan/label_text_label.h"
#include "scan/thread_time.h"
#include "sherdmark/base/units.h"
#include "sherdmark/sheet/label_geometry.h"

namespace sherdmark {
namespace label_text {
namespace {

constexpr int k_levels = 4;
constexpr int k_coarsest_search = 2;
constexpr int k_block_px = 8;
constexpr double k_least_rule_px = 14;
constexpr double k_same_rule_ratio = 1.2;
constexpr double k_longest_slack = 1.5;  // a thickness is measured less well than a length

LabelLook look_of(const HouseStandard& standard, const Typeface& face) {
  const double em_mm = pt_to_mm(standard.artifact.size_pt);
  double narrowest = 1;
  for (const char32_t digit : std::u32string_view{U"0123456789"})
    narrowest = std::min(narrowest, face.advance_em(digit));
  LabelLook look;
  look.rule_em = standard.artifact.rule_mm / em_mm;
  look.baseline_em = k_rule_gap_em + look.rule_em / 2;
  look.margin_em = standard.artifact.trim_tolerance_mm / em_mm;
  std::size_t longest = 4;
  for (const Scheme& scheme : standard.schemes) longest = std::max(longest, scheme.longest_number().size());
  look.longest_line = static_cast<int>(longest) + (standard.artifact.check_character ? 2 : 0);
  return look;
}

bool same_place(const TextReading& a, const TextReading& b) {
  return contains(b.corners, centre_of(a.corners)) || contains(a.corners, centre_of(b.corners));
}

// Takes blocks whose middle lies in one of the areas out of the search.
void clear_areas(BlockMask& mask, double scale, const std::vector<Corners>& areas) {
  for (const Corners& area : areas) {
    double left = area[0].x, right = area[0].x, top = area[0].y, bottom = area[0].y;
    for (const PointF& corner : area) {
      left = std::min(left, corner.x);
      right = std::max(right, corner.x);
      top = std::min(top, corner.y);
      bottom = std::max(bottom, corner.y);
    }
    const double block = mask.block_px * scale;
    const auto clamp_to = [](double at, int size) {
      return static_cast<int>(std::clamp(at, 0.0, static_cast<double>(size)));
    };
    for (int row = clamp_to(top / block, mask.rows); row < clamp_to(bottom / block + 1, mask.rows); ++row)
      for (int column = clamp_to(left / block, mask.columns); column < clamp_to(right / block + 1, mask.columns);
           ++column)
        if (contains(area, {(column + 0.5) * block, (row + 0.5) * block})) mask.marked[mask.index(column, row)] = 0;
  }
}

std::vector<RuleCandidate> rules_at(const Pyramid& pyramid, int level, const std::vector<Corners>& done) {
  const GreyView view = pyramid.level(level);
  BlockMask mask = find_print(view, k_block_px);
  const double scale = 1 << level;
  clear_areas(mask, scale, done);
  std::vector<RuleCandidate> rules = find_rules(view, mask, k_least_rule_px);
  for (RuleCandidate& rule : rules) {
    rule.from = {rule.from.x * scale, rule.from.y * scale};
    rule.to = {rule.to.x * scale, rule.to.y * scale};
    rule.bend_px *= scale;
    rule.scale_px = scale;
  }
  return rules;
}

// Two readings of one place cannot both stand. Equal ones merge, others are nothing anybody should believe.
void add_reading(std::vector<TextReading>& readings, TextReading reading) {
  for (TextReading& known : readings) {
    if (!same_place(known, reading)) continue;
    if (known.sure && reading.sure && known.number != reading.number) {
      known.sure = false;
      known.why_not = "it can be read in two ways";
    } else if (!known.sure && (reading.sure || reading.margin > known.margin) &&
               known.why_not != "it can be read in two ways") {
      known = std::move(reading);
    }
    return;
  }
  readings.push_back(std::move(reading));
}

// A rule by itself counts where nothing was read at its place, and tells what was not read surely from mere marks.
void add_sign(std::vector<TextReading>& readings, const RuleSign& sign, const HouseStandard& standard) {
  TextReading seen;
  seen.corners = sign.corners;
  seen.px_per_mm = sign.thickness_px / standard.artifact.rule_mm;
  seen.px_per_mm_of_rule = seen.px_per_mm;
  seen.why_not = "a label's rule was seen, but not its text";
  for (TextReading& known : readings) {
    if (!same_place(known, seen)) continue;
    if (!known.sure && known.px_per_mm_of_rule <= 0) known.px_per_mm_of_rule = seen.px_per_mm_of_rule;
    // A line of another size seen at this place may be chance; which one is the label's is for others to say.
    const double ratio = known.sure ? 1 : known.px_per_mm_of_rule / seen.px_per_mm_of_rule;
    if (ratio < k_same_rule_ratio && ratio > 1 / k_same_rule_ratio) return;
  }
  readings.push_back(std::move(seen));
}

// The lines of text on these rules; nothing when time ran out.
std::optional<std::vector<SeenLine>> lines_on(const std::vector<RuleCandidate>& rules, const Pyramid& pyramid,
                                              const LineFinder& finder, double until_ms) {
  std::vector<SeenLine> lines;
  for (const RuleCandidate& rule : rules) {
    if (thread_time_ms() > until_ms) return std::nullopt;
    for (const bool from_to : {true, false})
      if (auto line = finder.find(pyramid, rule, from_to)) lines.push_back(std::move(*line));
  }
  return lines;
}

TextReading given_up(const GreyView& picture, int budget_ms) {
  TextReading whole;
  whole.why_not = fmt::format("{}{:.2g} s", k_gave_up, budget_ms / 1000.0);
  const auto w = static_cast<double>(picture.width_px), h = static_cast<double>(picture.height_px);
  whole.corners = {PointF{0, 0}, PointF{w, 0}, PointF{w, h}, PointF{0, h}};
  return whole;
}

}  // namespace
}  // namespace label_text

using namespace label_text;

struct LabelTextReader::Impl {
  HouseStandard standard;
  LabelAutomaton automaton;
  Typeface face;
  GlyphBank bank;
  LabelLook look;
  LabelLimits limits;
  double longest_em;  // of a line of text

  explicit Impl(const HouseStandard& given)
      : standard{given},
        automaton{make_automaton(given)},
        face{Typeface::find(given.artifact.font)},
        bank{face, automaton.characters},
        look{look_of(given, face)},
        longest_em{k_longest_slack * look.longest_line * face.advance_em(U'0')} {}
};

LabelTextReader::LabelTextReader(const HouseStandard& standard) : impl_{std::make_unique<const Impl>(standard)} {}
LabelTextReader::~LabelTextReader() = default;
LabelTextReader::LabelTextReader(LabelTextReader&&) noexcept = default;
LabelTextReader& LabelTextReader::operator=(LabelTextReader&&) noexcept = default;

std::vector<TextReading> LabelTextReader::read(const GreyView& picture, const std::vector<Corners>& masked,
                                               int budget_ms) const {
  std::vector<TextReading> readings;
  if (picture.empty() || impl_->automaton.starts.empty()) return readings;
  const double until_ms = thread_time_ms() + budget_ms;
  const Pyramid pyramid{picture, k_levels};
  const LineFinder finder{impl_->bank, impl_->look};
  const LabelContext context{impl_->bank, impl_->automaton, impl_->look, impl_->limits, impl_->standard};
  for (int level = std::min(k_coarsest_search, pyramid.levels() - 1); level >= 0; --level) {
    std::vector<Corners> done = masked;
    for (const TextReading& reading : readings)
      if (reading.sure) done.push_back(reading.corners);
    const std::vector<RuleCandidate> rules = rules_at(pyramid, level, done);
    const std::optional<std::vector<SeenLine>> lines = lines_on(rules, pyramid, finder, until_ms);
    if (!lines) {
      readings.push_back(given_up(picture, budget_ms));
      return readings;
    }
    for (const std::vector<std::size_t>& group : group_lines(*lines)) {
      std::vector<SeenLine> label;
      for (const std::size_t i : group) label.push_back((*lines)[i]);
      add_reading(readings, read_label(context, pyramid, label));
    }
    for (const RuleCandidate& rule : rules)
      for (const RuleSign& sign : look_for_label(pyramid, rule, impl_->look, impl_->longest_em))
        add_sign(readings, sign, impl_->standard);
  }
  return readings;
}

}  // namespace sherdmark
