#include "scan/label_text_line.h"

#include <algorithm>
#include <cmath>

namespace sherdmark::label_text {
namespace {

// Type sizes whose rules are found at one level of the pyramid, in its pixels; the levels overlap.
constexpr double k_least_em_px = 6.5;
constexpr double k_most_em_px = 34;
constexpr double k_size_step = 1.035;
constexpr int k_fewest_characters = 3;
constexpr double k_foreshortening = 1.17;  // most that sizes along and across the line may differ
constexpr std::size_t k_sizes_tried = 7;
constexpr double k_least_profile_match = 0.75;
constexpr double k_least_rough_match = 0.45;  // over 1,000 lines of labels in rendered pictures all had 0.75 and more
constexpr double k_worst_guess = 0.58;        // share of ink left over, beyond which it is no text of ours
constexpr double k_hopeless_guess = 0.8;      // not even with every character aside
constexpr double k_uneven_guess = 0.7;        // worth following character by character
constexpr double k_good_guess = 0.2;          // no other size can be meant
constexpr double k_good_line = 0.12;          // needs no second look
constexpr double k_worst_line = 0.42;         // likewise after the geometry was settled
constexpr double k_least_ink = 0.22;          // share of the paper's light that print takes away
constexpr double k_most_ink = 1.5;            // likewise; more than all only by the template's blur
constexpr double k_least_contrast = 16 * k_ink_units;

// The same rule with its other side up.
LineFrame turned_over(const LineFrame& frame) {
  LineFrame turned = frame;
  turned.start = {frame.start.x + frame.along.x * frame.length_px, frame.start.y + frame.along.y * frame.length_px};
  turned.along = {-frame.along.x, -frame.along.y};
  turned.up = {-frame.up.x, -frame.up.y};
  turned.bend_px = -frame.bend_px;
  return turned;
}

// Mean ink along the line at each distance from the rule, `step_px` apart in pixels of the picture given.
struct Profile {
  double step_px = 1;
  std::vector<double> ink;
};

// `thinned`: only one of so many places along the line is looked at.
Profile side_profile(const Pyramid& pyramid, const LineFrame& frame, double reach_px, int thinned) {
  Profile profile;
  int level = 0;
  while (level + 1 < pyramid.levels() && reach_px / (1 << level) > 60) ++level;
  const GreyView view = pyramid.level(level);
  profile.step_px = (1 << level);
  const int steps = static_cast<int>(reach_px / profile.step_px);
  const int samples = std::clamp(static_cast<int>(frame.length_px / profile.step_px), 12, 40) / thinned;
  const auto count = static_cast<std::size_t>(std::max(0, steps));
  std::vector<double> light(count, 0), xs(count), ys(count);
  std::vector<float> inside_xs(count), inside_ys(count), seen(count);
  for (int s = 0; s < samples; ++s) {
    const double t = (s + 0.5) / samples;
    const double bow = 4 * t * (1 - t) * frame.bend_px;
    const double way = t * frame.length_px;
    const double x = (frame.start.x + frame.along.x * way + frame.up.x * bow) / profile.step_px;
    const double y = (frame.start.y + frame.along.y * way + frame.up.y * bow) / profile.step_px;
    for (std::size_t i = 0; i < count; ++i) {
      xs[i] = x + static_cast<int>(i) * frame.up.x;
      ys[i] = y + static_cast<int>(i) * frame.up.y;
    }
    if (is_inside(view, x, y) && is_inside(view, x + steps * frame.up.x, y + steps * frame.up.y)) {
      for (std::size_t i = 0; i < count; ++i) {
        inside_xs[i] = static_cast<float>(xs[i]);
        inside_ys[i] = static_cast<float>(ys[i]);
      }
      sample_each_inside(view, inside_xs.data(), inside_ys.data(), count, seen.data());
    } else {
      sample_each(view, xs.data(), ys.data(), count, seen.data());
    }
    for (std::size_t i = 0; i < count; ++i) light[i] += static_cast<double>(seen[i]);
  }
  for (const double sum : light) profile.ink.push_back(255 - sum / samples);
  return profile;
}

// Correlation of the profile with what a line of text of that size would show: rule, gap, text, gap.
double profile_match(const Profile& profile, const GlyphBank& bank, const LabelLook& look, double em_px) {
  const double first = (look.rule_em * 0.5 + 0.06) * em_px;
  const double last = (look.baseline_em + bank.cap_height_em() + 0.2) * em_px;
  double sx = 0, sy = 0, sxx = 0, syy = 0, sxy = 0, count = 0;
  const std::size_t end =
      std::min(profile.ink.size(), static_cast<std::size_t>(std::floor(last / profile.step_px)) + 1);
  const GlyphBank::RowsAlong rows = bank.rows_along(-look.baseline_em, profile.step_px / em_px);
  for (auto i = static_cast<std::size_t>(std::ceil(first / profile.step_px)); i < end; ++i) {
    const double expected = bank.row_ink(rows, static_cast<double>(i));
    const double seen = profile.ink[i];
    sx += expected;
    sy += seen;
    sxx += expected * expected;
    syy += seen * seen;
    sxy += expected * seen;
    count += 1;
  }
  if (count < 5) return 0;
  const double variance = (sxx - sx * sx / count) * (syy - sy * sy / count);
  return variance > 1e-9 ? (sxy - sx * sy / count) / std::sqrt(variance) : 0;
}

// Light of the paper between the print, in units of the strip: the lightest tenth.
double paper_light(const Strip& strip) {
  std::vector<std::int16_t> ink(strip.ink.begin(), strip.ink.end() - k_strip_tail);
  const auto tenth = ink.begin() + static_cast<std::ptrdiff_t>(ink.size() / 10);
  std::nth_element(ink.begin(), tenth, ink.end());
  return k_ink_units * 255 - *tenth;
}

}  // namespace

double LineFinder::mean_advance_em() const {
  constexpr double k_proportional_em = 0.55;
  return bank_.pitch_columns() > 0 ? bank_.pitch_columns() * bank_.column_em() : k_proportional_em;
}

std::vector<LineFinder::Size> LineFinder::likely_sizes(const Pyramid& pyramid, const LineFrame& frame,
                                                       double scale_px) const {
  const double advance = mean_advance_em();
  std::vector<double> widths;
  if (bank_.pitch_columns() > 0)
    for (int n = k_fewest_characters; n <= look_.longest_line; ++n) widths.push_back(n * advance);
  else
    for (double w = k_fewest_characters * advance; w <= look_.longest_line * advance; w *= 1.02) widths.push_back(w);
  const double least_em = std::max(k_least_em_px * scale_px, range_.least_em_px);
  const double most_em = std::min(k_most_em_px * scale_px, range_.most_em_px);
  std::erase_if(widths, [&](double w) {
    const double em = frame.length_px / w;
    return em < least_em || em > most_em;
  });
  std::vector<Size> sizes;
  if (widths.empty()) return sizes;
  const double reach_px = 1.3 * k_foreshortening * frame.length_px / widths.front();
  const auto best_of_width = [&](const Profile& profile, double width) {
    const double em_along = frame.length_px / width;
    Size best{width, em_along, 0};
    for (double em = em_along / k_foreshortening; em <= em_along * k_foreshortening; em *= k_size_step) {
      const double match = profile_match(profile, bank_, look_, em);
      if (match > best.match) best = {width, em, match};
    }
    return best;
  };
  // Most lines have nothing like text beside them, and a third of the places shows it.
  const Profile rough = side_profile(pyramid, frame, reach_px, 3);
  if (std::ranges::none_of(widths, [&](double w) { return best_of_width(rough, w).match >= k_least_rough_match; }))
    return sizes;
  const Profile profile = side_profile(pyramid, frame, reach_px, 1);
  for (const double width : widths) {
    const Size best = best_of_width(profile, width);
    if (best.match >= k_least_profile_match) sizes.push_back(best);
  }
  std::sort(sizes.begin(), sizes.end(), [](const Size& a, const Size& b) { return a.match > b.match; });
  if (sizes.size() > k_sizes_tried) sizes.resize(k_sizes_tried);
  return sizes;
}

LineFinder::Guess LineFinder::try_size(const Pyramid& pyramid, const LineFrame& frame, const Size& size) const {
  Guess guess{frame, 1};
  guess.frame.em_up_px = size.em_up_px;
  guess.frame.width_em = size.width_em;
  guess.frame.baseline_em = look_.baseline_em;
  const Strip strip = take_strip(pyramid, guess.frame, bank_.column_em());
  // A label on a round body has its characters closer together towards the ends: then each may stand aside a little.
  for (const int shift : {0, 1}) {
    GlyphCosts costs{bank_, strip, k_first_blur, 0, shift};
    const FreeText text = read_freely(bank_, strip, costs);
    if (text.unexplained > k_hopeless_guess) return guess;
    double contrast = 0;
    (void)unexplained_by(bank_, strip, text.glyphs, k_first_blur, &contrast);
    const double paper = paper_light(strip);
    if (contrast < std::max(k_least_ink * paper, k_least_contrast) || contrast > k_most_ink * paper) return guess;
    guess.unexplained = text.unexplained;
    if (text.unexplained <= k_worst_guess) return guess;
  }
  return guess;
}

SeenLine LineFinder::refine(const Pyramid& pyramid, const Guess& guess) const {
  constexpr int k_rounds = 3;
  SeenLine line;
  line.frame = guess.frame;
  line.strip = take_strip(pyramid, line.frame, bank_.column_em());
  for (int round = 0; round < k_rounds; ++round) {
    GlyphCosts costs{bank_, line.strip, line.blur, line.contrast, 1};
    line.glyphs = read_freely(bank_, line.strip, costs).glyphs;
    if (line.glyphs.empty()) return line;
    line.unexplained = unexplained_by(bank_, line.strip, line.glyphs, line.blur, &line.contrast);
    settle_frame(bank_, pyramid, line);
    for (int blur = 0; blur < k_blurs; ++blur) {
      double contrast = 0;
      const double left = unexplained_by(bank_, line.strip, line.glyphs, blur, &contrast);
      if (left >= line.unexplained) continue;
      line.unexplained = left;
      line.blur = blur;
      line.contrast = contrast;
    }
    if (line.unexplained > k_worst_guess) break;
  }
  return line;
}

// A tight bend that is seen from the side spaces the characters unevenly: they are looked for one after the other, and
// the frame follows them.
std::optional<SeenLine> LineFinder::follow_unevenly(const Pyramid& pyramid, const std::vector<Guess>& guesses) const {
  constexpr std::size_t k_guesses_followed = 3;
  std::optional<SeenLine> best;
  for (std::size_t i = 0; i < std::min(guesses.size(), k_guesses_followed); ++i) {
    const Strip strip = take_strip(pyramid, guesses[i].frame, bank_.column_em());
    GlyphCosts costs{bank_, strip, k_first_blur, 0, 0};
    const UnevenText text = read_unevenly(bank_, strip, costs);
    if (text.pens.size() < 4 || text.unexplained > k_worst_guess) continue;
    Guess bent = guesses[i];
    bent.frame.width_em = text.width_columns * bank_.column_em();
    bent.frame.squeeze += text.squeeze;
    bent.frame.curl += text.curl;
    SeenLine line = refine(pyramid, bent);
    if (!best || line.unexplained < best->unexplained) best = std::move(line);
  }
  return best;
}

// A label that is tilted towards the camera has its characters closer together at its far end, and at a wrong number of
// them the settling ends beside the truth: every size is tried again from both sides.
std::optional<SeenLine> LineFinder::start_unevenly(const Pyramid& pyramid, const LineFrame& frame,
                                                   const std::vector<Guess>& guesses) const {
  constexpr double k_squeeze = 0.02;
  constexpr std::size_t k_refined = 3;
  std::vector<Guess> bent;
  for (const Guess& guess : guesses)
    for (const double squeeze : {-k_squeeze, k_squeeze}) {
      LineFrame start = frame;
      start.squeeze = squeeze;
      bent.push_back(try_size(pyramid, start, {guess.frame.width_em, guess.frame.em_up_px, 0}));
    }
  std::sort(bent.begin(), bent.end(), [](const Guess& a, const Guess& b) { return a.unexplained < b.unexplained; });
  std::optional<SeenLine> best;
  for (std::size_t i = 0; i < std::min(bent.size(), k_refined); ++i) {
    if (bent[i].unexplained > k_worst_guess) break;
    SeenLine line = refine(pyramid, bent[i]);
    if (!best || line.unexplained < best->unexplained) best = std::move(line);
  }
  return best;
}

std::array<std::optional<SeenLine>, 2> LineFinder::find(const Pyramid& pyramid, const RuleCandidate& rule) const {
  LineFrame frame = frame_of(rule);
  // Too short for any text of ours, even where its ends are found a little farther out.
  const double longer_px = 4 * rule.scale_px;
  if (frame.length_px + longer_px < k_fewest_characters * mean_advance_em() * range_.least_em_px) return {};
  settle_ends(pyramid, frame, rule.scale_px);
  return {find_over(pyramid, rule, frame), find_over(pyramid, rule, turned_over(frame))};
}

std::optional<SeenLine> LineFinder::find_over(const Pyramid& pyramid, const RuleCandidate& rule,
                                              LineFrame frame) const {
  if (likely_sizes(pyramid, frame, rule.scale_px).empty()) return std::nullopt;
  const int found_at = static_cast<int>(std::lround(std::log2(rule.scale_px)));
  for (int level = std::max(0, found_at - 1); level >= std::max(0, found_at - 2); --level) {
    settle_course(pyramid, frame, level);
    settle_ends(pyramid, frame, 1 << level);
    if (level == 0) break;
  }
  std::vector<Guess> guesses;
  for (const Size& size : likely_sizes(pyramid, frame, rule.scale_px)) {
    Guess guess = try_size(pyramid, frame, size);
    // A tail below the line misleads the look from the side; an untilted label does not need it.
    const double em_along = frame.length_px / size.width_em;
    if (std::abs(size.em_up_px / em_along - 1) > 0.04) {
      const Guess upright = try_size(pyramid, frame, {size.width_em, em_along, 0});
      if (upright.unexplained < guess.unexplained) guess = upright;
    }
    if (guess.unexplained <= k_hopeless_guess) guesses.push_back(guess);
    if (guess.unexplained < k_good_guess) break;
  }
  if (guesses.empty()) return std::nullopt;
  std::sort(guesses.begin(), guesses.end(),
            [](const Guess& a, const Guess& b) { return a.unexplained < b.unexplained; });
  std::optional<SeenLine> best;
  for (std::size_t i = 0; i < std::min<std::size_t>(guesses.size(), 3); ++i) {
    if (guesses[i].unexplained > std::min(k_worst_guess, guesses[0].unexplained + 0.10)) break;
    SeenLine line = refine(pyramid, guesses[i]);
    if (!best || line.unexplained < best->unexplained) best = std::move(line);
    if (best->unexplained < k_good_line) break;
  }
  if ((!best || best->unexplained > k_good_line) && guesses[0].unexplained < k_uneven_guess) {
    std::optional<SeenLine> uneven = follow_unevenly(pyramid, guesses);
    if (uneven && (!best || uneven->unexplained < best->unexplained)) best = std::move(uneven);
  }
  if (best && best->unexplained > k_good_line && best->unexplained <= k_worst_line) {
    std::optional<SeenLine> bent = start_unevenly(pyramid, frame, guesses);
    if (bent && bent->unexplained < best->unexplained) best = std::move(bent);
  }
  if (best && best->unexplained > k_worst_line) best.reset();
  return best;
}

}  // namespace sherdmark::label_text
