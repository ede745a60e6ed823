#include "sherdmark/scan/label_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <numeric>
#include <optional>
#include <utility>

#include "scan/label_text_evidence.h"
#include "scan/label_text_head.h"
#include "scan/label_text_label.h"
#include "scan/label_text_readings.h"
#include "scan/thread_time.h"
#include "sherdmark/base/parallel.h"
#include "sherdmark/base/units.h"
#include "sherdmark/scan/carrier_head.h"
#include "sherdmark/sheet/label_geometry.h"

namespace sherdmark {
namespace label_text {
namespace {

constexpr int k_levels = 4;
constexpr int k_coarsest_search = 2;
constexpr double k_least_rule_px = 14;
constexpr double k_least_piece_px = 9;   // where the scale is known
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

// Takes blocks out of the search whose middle lies in one of the areas, or with `whole` only those that lie in it
// altogether.
void clear_areas(BlockMask& mask, double scale, const std::vector<Corners>& areas, bool whole) {
  for (const Corners& area : areas) {
    double left = area[0].x, right = area[0].x, top = area[0].y, bottom = area[0].y;
    for (const PointF& corner : area) {
      left = std::min(left, corner.x);
      right = std::max(right, corner.x);
      top = std::min(top, corner.y);
      bottom = std::max(bottom, corner.y);
    }
    const double block = BlockMask::k_block_px * scale;
    const auto inside = [&](int column, int row) {
      const auto at = [&](double x, double y) { return contains(area, {(column + x) * block, (row + y) * block}); };
      return whole ? at(0, 0) && at(1, 0) && at(1, 1) && at(0, 1) : at(0.5, 0.5);
    };
    const auto clamp_to = [](double at, int size) {
      return static_cast<int>(std::clamp(at, 0.0, static_cast<double>(size)));
    };
    for (int row = clamp_to(top / block, mask.rows); row < clamp_to(bottom / block + 1, mask.rows); ++row)
      for (int column = clamp_to(left / block, mask.columns); column < clamp_to(right / block + 1, mask.columns);
           ++column)
        if (inside(column, row)) mask.marked[mask.index(column, row)] = 0;
  }
}

// How coarsely a picture is looked at, and for what.
struct SearchLevels {
  std::vector<int> levels;   // of the pyramid, coarse to fine
  double least_rule_em = 0;  // shorter lines are left out; 0: those of k_least_rule_px
  SizeRange sizes;

  [[nodiscard]] bool known() const { return least_rule_em > 0; }
};

// At the level chosen for a scale, type of that scale is so large, in its pixels, or up to twice as large: short pieces
// of a rule still stand out, and no more pixels are looked at than are needed. Type that may be too large for that
// level is looked for one level coarser as well.
constexpr double k_em_px_at_level = 14;
constexpr double k_most_em_px_at_level = 32;
constexpr double k_nearer = 2.0, k_farther = 1.5;  // than the codes; so much larger or smaller a label may be
constexpr double k_least_piece_em = 0.8;           // of a rule, of which the rest may be hidden
constexpr double k_least_cut_off_share = 0.55;     // of that, where the picture's border cut it off

SearchLevels levels_for(const std::vector<double>& px_per_mm, double em_mm, int levels) {
  SearchLevels search;
  if (px_per_mm.empty()) {
    for (int level = std::min(k_coarsest_search, levels - 1); level >= 0; --level) search.levels.push_back(level);
    return search;
  }
  const auto [least, most] = std::minmax_element(px_per_mm.begin(), px_per_mm.end());
  const auto level_of = [&](double scale) {
    const int level = static_cast<int>(std::floor(std::log2(std::max(1.0, scale * em_mm / k_em_px_at_level))));
    return std::min(level, levels - 1);
  };
  const int coarsest = level_of(*most);
  if (*most * em_mm * k_nearer / (1 << coarsest) > k_most_em_px_at_level && coarsest + 1 < levels)
    search.levels.push_back(coarsest + 1);
  for (int level = coarsest; level >= level_of(*least); --level) search.levels.push_back(level);
  search.sizes = {*least * em_mm / k_farther, *most * em_mm * k_nearer};
  search.least_rule_em = k_least_piece_em;
  return search;
}

// The lines on whatever looks like print at one level: all of a search that needs to know nothing of the codes.
LineMap lines_at(const Pyramid& pyramid, int level) {
  const GreyView view = pyramid.level(level);
  return LineMap{view, find_print(view)};
}

// The level that photographs of a whole bench are mostly searched at, whatever camera took them: one of at most so many
// pixels a side.
int likely_level(const Pyramid& pyramid) {
  constexpr int k_longest_side_px = 2100;
  int level = 0;
  const auto side_px = [&] { return std::max(pyramid.level(level).width_px, pyramid.level(level).height_px); };
  while (level + 1 < pyramid.levels() && side_px() > k_longest_side_px) ++level;
  return level;
}

std::vector<RuleCandidate> rules_at(const Pyramid& pyramid, int level, const LineMap& lines, double least_length_px,
                                    const std::vector<Corners>& done, const std::vector<Corners>& masked) {
  BlockMask where = lines.print();
  const double scale = 1 << level;
  clear_areas(where, scale, done, false);
  clear_areas(where, scale, masked, true);
  std::vector<RuleCandidate> rules = find_rules(lines, where, k_least_cut_off_share * least_length_px);
  for (RuleCandidate& rule : rules) {
    rule.from = {rule.from.x * scale, rule.from.y * scale};
    rule.to = {rule.to.x * scale, rule.to.y * scale};
    rule.bend_px *= scale;
    rule.scale_px = scale;
  }
  std::erase_if(rules, [&](const RuleCandidate& rule) {
    const double length_px = std::hypot(rule.to.x - rule.from.x, rule.to.y - rule.from.y);
    return length_px < least_length_px * scale && !is_cut_off(rule, pyramid.level(0));
  });
  return rules;
}

// Processor time that all threads of a search may still use.
class TimeLeft {
 public:
  explicit TimeLeft(double budget_ms) : budget_ms_{budget_ms} {}
  void spend(double ms) { spent_ms_ += ms; }
  [[nodiscard]] bool is_up() const { return spent_ms_ > budget_ms_; }

 private:
  double budget_ms_;
  std::atomic<double> spent_ms_{0};
};

// The lines of text on these rules; nothing when time ran out.
std::optional<std::vector<SeenLine>> lines_on(const std::vector<RuleCandidate>& rules, const Pyramid& pyramid,
                                              const LineFinder& finder, unsigned threads, TimeLeft& time) {
  std::vector<std::array<std::optional<SeenLine>, 2>> found(rules.size());
  for_each_index(rules.size(), threads, [&](std::size_t i) {
    if (time.is_up()) return;
    const double start_ms = thread_time_ms();
    found[i] = finder.find(pyramid, rules[i]);
    time.spend(thread_time_ms() - start_ms);
  });
  if (time.is_up()) return std::nullopt;
  std::vector<SeenLine> lines;
  for (auto& sides : found)
    for (auto& line : sides)
      if (line) lines.push_back(std::move(*line));
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

namespace {

// One search: level by level, from the rules to the labels that stand on them.
class PictureSearch {
 public:
  PictureSearch(const GreyView& picture, const TextSearch& search, const LabelTextReader::Impl& reader)
      : picture_{picture},
        search_{search},
        reader_{reader},
        time_{static_cast<double>(search.budget_ms)},
        pyramid_{picture, k_levels},
        shown_{ask_shown()},
        at_{levels_for(shown_.px_per_mm, pt_to_mm(reader.standard.artifact.size_pt), pyramid_.levels())} {}

  std::vector<TextReading> run() && {
    for (const int level : at_.levels)
      if (!look_at(level)) {
        readings_.push_back(given_up(picture_, search_.budget_ms));
        break;
      }
    return std::move(readings_);
  }

 private:
  // Codes may be read by another thread until it answers: what will probably be needed is done meanwhile.
  ShownByCodes ask_shown() {
    if (!search_.ask_shown) return search_.shown;
    if (search_.threads > 1) {
      const double since_ms = thread_time_ms();
      ahead_level_ = likely_level(pyramid_);
      ahead_ = lines_at(pyramid_, ahead_level_);
      time_.spend(thread_time_ms() - since_ms);
    }
    return search_.ask_shown();
  }

  // False when time ran out.
  bool look_at(int level) {
    const double since_ms = thread_time_ms();
    std::vector<Corners> done;
    for (const TextReading& reading : readings_)
      if (reading.sure) done.push_back(reading.corners);
    const LineMap lines = ahead_ && ahead_level_ == level ? *std::exchange(ahead_, {}) : lines_at(pyramid_, level);
    const std::vector<RuleCandidate> rules =
        rules_at(pyramid_, level, lines, least_rule_px(level), done, shown_.masked);
    time_.spend(thread_time_ms() - since_ms);
    const LineFinder finder{reader_.bank, reader_.look, at_.sizes};
    const std::optional<std::vector<SeenLine>> texts = lines_on(rules, pyramid_, finder, search_.threads, time_);
    return texts && read_labels(*texts) && look_for_signs(rules, level);
  }

  [[nodiscard]] double least_rule_px(int level) const {
    if (!at_.known()) return k_least_rule_px;
    return std::max(k_least_piece_px, at_.least_rule_em * at_.sizes.least_em_px * k_farther / (1 << level));
  }

  bool read_labels(const std::vector<SeenLine>& lines) {
    const LabelContext context{reader_.bank, reader_.automaton, reader_.look, reader_.limits, reader_.standard};
    const std::vector<std::vector<std::size_t>> groups = group_lines(lines);
    std::vector<std::optional<TextReading>> found(groups.size());
    for_each_index(groups.size(), search_.threads, [&](std::size_t i) {
      if (time_.is_up()) return;
      const double start_ms = thread_time_ms();
      std::vector<SeenLine> label;
      for (const std::size_t line : groups[i]) label.push_back(lines[line]);
      found[i] = read_label(context, pyramid_, label);
      time_.spend(thread_time_ms() - start_ms);
    });
    for (std::optional<TextReading>& reading : found)
      if (reading) add_reading(readings_, std::move(*reading));
    return !time_.is_up();
  }

  // Of artifact labels whose text was not made out; of bag labels and tags whose code nobody may have read, where codes
  // tell how large they would be. Where the scale is known the rules were found coarsely, and how thick they are is
  // measured one level finer.
  bool look_for_signs(const std::vector<RuleCandidate>& rules, int level) {
    std::vector<std::vector<RuleSign>> signs(rules.size());
    std::vector<std::optional<Corners>> heads(rules.size());
    const double px_per_mm = mean_px_per_mm();
    for_each_index(rules.size(), search_.threads, [&](std::size_t i) {
      if (time_.is_up()) return;
      const double start_ms = thread_time_ms();
      const RuleCandidate finer = at_.known() && level > 0 ? seen_finer(pyramid_, rules[i], level - 1) : rules[i];
      signs[i] = look_for_label(pyramid_, finer, reader_.look, reader_.longest_em);
      if (at_.known()) heads[i] = look_for_head(picture_, rules[i], px_per_mm);
      time_.spend(thread_time_ms() - start_ms);
    });
    if (time_.is_up()) return false;
    for (const std::vector<RuleSign>& of_one : signs)
      for (const RuleSign& sign : of_one) add_sign(readings_, sign, reader_.standard);
    for (const std::optional<Corners>& head : heads)
      if (head) add_head(*head, px_per_mm);
    return true;
  }

  [[nodiscard]] double mean_px_per_mm() const {
    const double sum = std::accumulate(shown_.px_per_mm.begin(), shown_.px_per_mm.end(), 0.0);
    return shown_.px_per_mm.empty() ? 0 : sum / static_cast<double>(shown_.px_per_mm.size());
  }

  void add_head(const Corners& corners, double px_per_mm) {
    TextReading seen;
    seen.why_not = k_carrier_head;
    seen.px_per_mm = px_per_mm;
    seen.corners = corners;
    readings_.push_back(std::move(seen));
  }

  const GreyView& picture_;
  const TextSearch& search_;
  const LabelTextReader::Impl& reader_;
  TimeLeft time_;
  Pyramid pyramid_;
  std::optional<LineMap> ahead_;  // of this level, until it is searched
  int ahead_level_ = 0;
  ShownByCodes shown_;
  SearchLevels at_;
  std::vector<TextReading> readings_;
};

}  // namespace

LabelTextReader::LabelTextReader(const HouseStandard& standard) : impl_{std::make_unique<const Impl>(standard)} {}
LabelTextReader::~LabelTextReader() = default;
LabelTextReader::LabelTextReader(LabelTextReader&&) noexcept = default;
LabelTextReader& LabelTextReader::operator=(LabelTextReader&&) noexcept = default;

std::vector<TextReading> LabelTextReader::search(const GreyView& picture, const TextSearch& search) const {
  if (picture.empty() || impl_->automaton.starts.empty()) return {};
  return PictureSearch{picture, search, *impl_}.run();
}

}  // namespace sherdmark
