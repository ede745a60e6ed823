#include "scan/label_text_label.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "sherdmark/code/check_character.h"
#include "sherdmark/sheet/label_geometry.h"

namespace sherdmark::label_text {
namespace {

constexpr int k_texts_kept = 6;

// Where the rule of the next line down would start, and how far `lower` starts from there, in em.
double off_next_line(const SeenLine& upper, const SeenLine& lower) {
  const LineFrame& f = upper.frame;
  const double down = k_line_pitch_em * f.em_up_px;
  const PointF expected{f.start.x - f.up.x * down - f.along.x * f.slant * down,
                        f.start.y - f.up.y * down - f.along.y * f.slant * down};
  return std::hypot(lower.frame.start.x - expected.x, lower.frame.start.y - expected.y) / f.em_up_px;
}

bool is_next_line(const SeenLine& upper, const SeenLine& lower) {
  constexpr double k_most_off_em = 0.32;
  constexpr double k_least_cosine = 0.985;
  const LineFrame& a = upper.frame;
  const LineFrame& b = lower.frame;
  const double ratio = a.em_up_px / b.em_up_px;
  return a.along.x * b.along.x + a.along.y * b.along.y > k_least_cosine && ratio > 0.85 && ratio < 1.18 &&
         off_next_line(upper, lower) < k_most_off_em;
}

struct LabelText {
  std::vector<int> glyphs;
  double cost = 0;
};

// Whole label texts, cheapest first, each once.
std::vector<LabelText> decode(const LabelContext& context, const std::vector<SeenLine>& lines) {
  std::vector<StateTexts> reached;
  for (const int start : context.automaton.starts) reached.push_back({start, {ScoredText{}}});
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const SeenLine& line = lines[i];
    GlyphCosts costs{context.bank, line.strip, line.blur, line.contrast, 1};
    const LineCosts measured{line.strip.columns, context.bank.pitch_columns() > 0 ? 0 : 2,
                             [&costs](int glyph, int column) { return costs.cost(glyph, column); },
                             [&](int glyph) { return context.bank.glyph(line.blur, glyph).columns; }};
    std::vector<StateTexts> ends = decode_line(context.automaton, reached, measured, k_texts_kept);
    const bool last = i + 1 == lines.size();
    std::erase_if(ends, [&](const StateTexts& end) {
      const LabelAutomaton::State& state = context.automaton.states[static_cast<std::size_t>(end.state)];
      return last ? !state.accepting : !state.may_break;
    });
    if (!last)
      for (StateTexts& end : ends)
        for (ScoredText& text : end.texts) text.glyphs.push_back(k_line_end);
    reached = std::move(ends);
  }
  std::vector<LabelText> texts;
  for (const StateTexts& end : reached)
    for (const ScoredText& text : end.texts) texts.push_back({text.glyphs, text.cost});
  std::sort(texts.begin(), texts.end(), [](const LabelText& a, const LabelText& b) { return a.cost < b.cost; });
  std::vector<LabelText> distinct;
  for (LabelText& text : texts) {
    const bool known = std::any_of(distinct.begin(), distinct.end(),
                                   [&](const LabelText& other) { return other.glyphs == text.glyphs; });
    if (!known) distinct.push_back(std::move(text));
    if (distinct.size() >= k_texts_kept) break;
  }
  return distinct;
}

std::vector<std::string> printed_lines(const LabelContext& context, const std::vector<int>& glyphs) {
  std::vector<std::string> lines(1);
  for (const int glyph : glyphs) {
    if (glyph == k_line_end) {
      lines.emplace_back();
      continue;
    }
    const char32_t character = context.bank.characters()[static_cast<std::size_t>(glyph)];
    lines.back() += encode_utf8(std::u32string_view{&character, 1});
  }
  return lines;
}

// The number of a printed text; empty when its check character is wrong or it is no number after all.
std::string number_of(const LabelContext& context, const std::string& printed) {
  std::string text = printed;
  char check = '\0';
  if (context.standard.artifact.check_character) {
    if (text.size() < 3 || text[text.size() - 2] != k_check_separator) return {};
    check = text.back();
    text.resize(text.size() - 2);
  }
  const std::optional<ParsedNumber> parsed = context.standard.parse_number(text);
  if (!parsed || parsed->number.text() != text) return {};
  if (check != '\0' && mod_37_36_check(check_character_data(parsed->number)) != check) return {};
  return text;
}

// The search took every glyph by itself; here each has its neighbours' spill.
void rank_by_fit(const LabelContext& context, const std::vector<SeenLine>& lines, std::vector<LabelText>& texts) {
  for (LabelText& text : texts) {
    const std::vector<std::vector<int>> parts = split_lines(text.glyphs);
    text.cost = 0;
    for (std::size_t i = 0; i < lines.size(); ++i) {
      const TextFit fit = fit_text(context.bank, lines[i], parts[i]);
      text.cost += std::accumulate(fit.left.begin(), fit.left.end(), 0.0) / (lines[i].contrast * lines[i].contrast);
    }
  }
  std::stable_sort(texts.begin(), texts.end(), [](const LabelText& a, const LabelText& b) { return a.cost < b.cost; });
}

std::string doubt_about_rule(const RuleCheck& rule, const LabelContext& context) {
  const LabelLimits& limits = context.limits;
  if (!rule.seen) return "an end of the rule was not seen";
  if (std::abs(rule.start_off_em) > limits.most_end_off_em || std::abs(rule.end_off_em) > limits.most_end_off_em)
    return "the rule is not as long as the text";
  if (rule.thickness_em > context.look.rule_em * limits.thickness_factor ||
      rule.thickness_em < context.look.rule_em / limits.thickness_factor)
    return "the line under the text is not a label's rule";
  if (rule.weakest < limits.least_rule_weight) return "the rule is broken";
  return {};
}

std::string doubt_about_fit(const TextFit& fit, const GlyphBank& bank, int blur, const LabelLimits& limits) {
  if (fit.left_share > limits.most_left_share) return "the print does not look like the house font";
  for (std::size_t i = 0; i < fit.left.size(); ++i) {
    const double ink = std::max(fit.model[i], 0.5 * bank.mean_energy(blur)) * fit.contrast[i] * fit.contrast[i];
    if (fit.left[i] > limits.most_glyph_left * ink) return "a character is covered or damaged";
  }
  return {};
}

Corners corners_of(const GlyphBank& bank, const std::vector<SeenLine>& lines) {
  const LineFrame* widest = &lines.front().frame;
  for (const SeenLine& line : lines)
    if (line.frame.width_em > widest->width_em) widest = &line.frame;
  const LineFrame& top = lines.front().frame;
  const LineFrame& foot = lines.back().frame;
  const double cap = bank.cap_height_em() + 0.05;
  const double low = -foot.baseline_em - 0.06;
  return {top.at(0, cap), top.at(widest->width_em, cap), foot.at(widest->width_em, low), foot.at(0, low)};
}

std::string doubt_about_lines(const LabelContext& context, const Pyramid& pyramid, const std::vector<SeenLine>& lines,
                              const std::vector<int>& glyphs) {
  const std::vector<std::vector<int>> texts = split_lines(glyphs);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const RuleCheck rule = check_rule(pyramid, lines[i]);
    const TextFit fit = fit_text(context.bank, lines[i], texts[i]);
    std::string doubt = doubt_about_rule(rule, context);
    if (doubt.empty()) doubt = doubt_about_fit(fit, context.bank, lines[i].blur, context.limits);
    if (doubt.empty() && clutter_at_ends(context.bank, lines[i], texts[i], fit) > context.limits.most_clutter)
      doubt = "no clear paper beyond an end of the line";
    if (!doubt.empty()) return doubt;
  }
  if (rule_above(pyramid, lines.front()) > context.limits.most_rule_above) return "a line above was not read";
  if (print_above(pyramid, lines.front(), context.bank.cap_height_em())) return "print above the label was not read";
  return {};
}

}  // namespace

std::vector<std::vector<std::size_t>> group_lines(const std::vector<SeenLine>& lines) {
  std::vector<std::size_t> below(lines.size(), lines.size());
  std::vector<bool> has_above(lines.size(), false);
  for (std::size_t i = 0; i < lines.size(); ++i)
    for (std::size_t j = 0; j < lines.size(); ++j)
      if (i != j && is_next_line(lines[i], lines[j]) &&
          (below[i] == lines.size() || off_next_line(lines[i], lines[j]) < off_next_line(lines[i], lines[below[i]])))
        below[i] = j;
  for (std::size_t i = 0; i < lines.size(); ++i)
    if (below[i] < lines.size()) has_above[below[i]] = true;
  std::vector<std::vector<std::size_t>> groups;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (has_above[i]) continue;
    std::vector<std::size_t> group{i};
    while (below[group.back()] < lines.size() && group.size() < 8) group.push_back(below[group.back()]);
    groups.push_back(std::move(group));
  }
  return groups;
}

TextReading read_label(const LabelContext& context, const Pyramid& pyramid, const std::vector<SeenLine>& lines) {
  TextReading reading;
  reading.corners = corners_of(context.bank, lines);
  reading.px_per_mm = lines.front().frame.em_along_px() / pt_to_mm(context.standard.artifact.size_pt);
  std::vector<LabelText> texts = decode(context, lines);
  if (texts.empty()) {
    reading.why_not = "no number of the house standard fits";
    return reading;
  }
  rank_by_fit(context, lines, texts);
  const std::vector<int>& best = texts.front().glyphs;
  reading.lines = printed_lines(context, best);
  const std::string printed = join(reading.lines, "");
  reading.number = number_of(context, printed);
  Separation separation;
  for (std::size_t i = 1; i < texts.size(); ++i) {
    const std::string rival = join(printed_lines(context, texts[i].glyphs), "");
    if (rival == printed) continue;
    const Separation one = separate(context.bank, lines, best, texts[i].glyphs);
    if (reading.runner_up.empty() || one.share < separation.share) reading.runner_up = rival;
    separation.share = std::min(separation.share, one.share);
    separation.significance = std::min(separation.significance, one.significance);
  }
  reading.margin = separation.share;
  reading.why_not = doubt_about_lines(context, pyramid, lines, best);
  if (reading.why_not.empty() && reading.number.empty()) reading.why_not = "the check character does not fit";
  if (reading.why_not.empty() &&
      (separation.share < std::max(context.limits.least_share, context.standard.read_margin) ||
       separation.significance < context.limits.least_significance))
    reading.why_not = "another text is nearly as likely";
  reading.sure = reading.why_not.empty();
  return reading;
}

}  // namespace sherdmark::label_text
