#include "scan/label_text_line.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace sherdmark::label_text {
namespace {

constexpr double k_least_em_px = 6;
constexpr double k_most_em_px = 200;
constexpr double k_size_step = 1.035;
constexpr double k_foreshortening = 1.17;  // most that sizes along and across the line may differ
constexpr std::size_t k_sizes_tried = 3;
constexpr double k_least_profile_match = 0.60;
constexpr double k_worst_guess = 0.52;  // share of ink left over, beyond which it is no text of ours
constexpr double k_worst_line = 0.42;   // likewise after the geometry was settled
constexpr double k_least_ink = 0.22;    // share of the paper's light that print takes away

LineFrame frame_of(const RuleCandidate& rule, bool from_to) {
  LineFrame frame;
  const PointF& a = from_to ? rule.from : rule.to;
  const PointF& b = from_to ? rule.to : rule.from;
  frame.length_px = std::hypot(b.x - a.x, b.y - a.y);
  frame.start = a;
  frame.along = {(b.x - a.x) / frame.length_px, (b.y - a.y) / frame.length_px};
  frame.up = {frame.along.y, -frame.along.x};
  frame.bend_px = from_to ? -rule.bend_px : rule.bend_px;
  return frame;
}

// Mean ink along the line at each distance from the rule, k_profile_step apart in pixels of the picture given.
struct Profile {
  double step_px = 1;
  std::vector<double> ink;
};

Profile side_profile(const Pyramid& pyramid, const LineFrame& frame, double reach_px) {
  Profile profile;
  int level = 0;
  while (level + 1 < pyramid.levels() && reach_px / (1 << level) > 90) ++level;
  const GreyView view = pyramid.level(level);
  profile.step_px = (1 << level);
  const int steps = static_cast<int>(reach_px / profile.step_px);
  const int samples = std::clamp(static_cast<int>(frame.length_px / profile.step_px), 12, 120);
  for (int i = 0; i < steps; ++i) {
    double sum = 0;
    for (int s = 0; s < samples; ++s) {
      const double t = (s + 0.5) / samples;
      const double off = i * profile.step_px + 4 * t * (1 - t) * frame.bend_px;
      const double way = t * frame.length_px;
      sum +=
          static_cast<double>(sample(view, (frame.start.x + frame.along.x * way + frame.up.x * off) / profile.step_px,
                                     (frame.start.y + frame.along.y * way + frame.up.y * off) / profile.step_px));
    }
    profile.ink.push_back(255 - sum / samples);
  }
  return profile;
}

// Correlation of the profile with what a line of text of that size would show: rule, gap, text, gap.
double profile_match(const Profile& profile, const GlyphBank& bank, const LabelLook& look, double em_px) {
  const double first = (look.rule_em * 0.5 + 0.06) * em_px;
  const double last = (look.baseline_em + bank.cap_height_em() + 0.2) * em_px;
  double sx = 0, sy = 0, sxx = 0, syy = 0, sxy = 0, count = 0;
  for (std::size_t i = 0; i < profile.ink.size(); ++i) {
    const double distance = static_cast<double>(i) * profile.step_px;
    if (distance < first) continue;
    if (distance > last) break;
    const double expected = bank.row_ink(distance / em_px - look.baseline_em);
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
  std::vector<std::int16_t> ink = strip.ink;
  const auto tenth = ink.begin() + static_cast<std::ptrdiff_t>(ink.size() / 10);
  std::nth_element(ink.begin(), tenth, ink.end());
  return k_ink_units * 255 - *tenth;
}

}  // namespace

std::vector<double> LineFinder::type_sizes(const Pyramid& pyramid, const LineFrame& frame) const {
  const double advance = bank_.pitch_columns() > 0 ? bank_.pitch_columns() * bank_.column_em() : 0.55;
  constexpr int k_fewest_characters = 3;
  const double smallest = std::max(k_least_em_px, frame.length_px / (advance * look_.longest_line * k_foreshortening));
  const double largest = std::min(k_most_em_px, frame.length_px * k_foreshortening / (advance * k_fewest_characters));
  std::vector<double> sizes;
  if (largest < smallest) return sizes;
  const Profile profile = side_profile(pyramid, frame, 1.35 * largest);
  struct Match {
    double em_px;
    double match;
  };
  std::vector<Match> matches;
  for (double em = smallest; em <= largest * 1.001; em *= k_size_step)
    matches.push_back({em, profile_match(profile, bank_, look_, em)});
  std::vector<Match> peaks;
  for (std::size_t i = 0; i < matches.size(); ++i) {
    const bool rises = i == 0 || matches[i].match >= matches[i - 1].match;
    const bool falls = i + 1 == matches.size() || matches[i].match > matches[i + 1].match;
    if (rises && falls && matches[i].match >= k_least_profile_match) peaks.push_back(matches[i]);
  }
  std::sort(peaks.begin(), peaks.end(), [](const Match& a, const Match& b) { return a.match > b.match; });
  for (std::size_t i = 0; i < std::min(peaks.size(), k_sizes_tried); ++i) sizes.push_back(peaks[i].em_px);
  return sizes;
}

std::vector<LineFinder::Guess> LineFinder::guess_widths(const Pyramid& pyramid, const LineFrame& frame,
                                                        double em_px) const {
  std::vector<Guess> guesses;
  const double widest = frame.length_px / (em_px / k_foreshortening);
  const double narrowest = frame.length_px / (em_px * k_foreshortening);
  const auto try_width = [&](double width_em) {
    Guess guess{frame, 1};
    guess.frame.em_up_px = em_px;
    guess.frame.width_em = width_em;
    guess.frame.baseline_em = look_.baseline_em;
    const Strip strip = take_strip(pyramid, guess.frame, bank_.column_em());
    GlyphCosts costs{bank_, strip, k_first_blur, 0, 0};
    const FreeText text = read_freely(bank_, strip, costs);
    guess.unexplained = text.unexplained;
    if (guess.unexplained > k_worst_guess) return;
    double contrast = 0;
    (void)unexplained_by(bank_, strip, text.glyphs, k_first_blur, &contrast);
    if (contrast >= k_least_ink * paper_light(strip)) guesses.push_back(guess);
  };
  if (bank_.pitch_columns() > 0) {
    const double pitch = bank_.pitch_columns() * bank_.column_em();
    const int most = std::min(look_.longest_line, static_cast<int>(std::floor(widest / pitch)));
    for (int n = std::max(3, static_cast<int>(std::ceil(narrowest / pitch))); n <= most; ++n) try_width(n * pitch);
  } else {
    for (double width = narrowest; width <= widest; width *= 1.02) try_width(width);
  }
  return guesses;
}

SeenLine LineFinder::refine(const Pyramid& pyramid, const Guess& guess) const {
  SeenLine line;
  line.frame = guess.frame;
  double steps_scale = 1;
  for (int round = 0; round < 3; ++round, steps_scale /= 2) {
    line.strip = take_strip(pyramid, line.frame, bank_.column_em());
    GlyphCosts free_costs{bank_, line.strip, line.blur, line.contrast, 1};
    line.glyphs = read_freely(bank_, line.strip, free_costs).glyphs;
    if (line.glyphs.empty()) return line;
    double best = unexplained_by(bank_, line.strip, line.glyphs, line.blur, &line.contrast);
    const auto attempt = [&](LineFrame frame) {
      Strip strip = take_strip(pyramid, frame, bank_.column_em());
      double contrast = 0;
      const double left = unexplained_by(bank_, strip, line.glyphs, line.blur, &contrast);
      if (left >= best) return false;
      best = left;
      line.frame = frame;
      line.strip = std::move(strip);
      line.contrast = contrast;
      return true;
    };
    using Move = void (*)(LineFrame&, double);
    const std::array<std::pair<Move, double>, 7> moves{{
        {[](LineFrame& f, double by) { f.em_up_px *= 1 + by; }, 0.03},
        {[](LineFrame& f, double by) { f.baseline_em += by; }, 0.03},
        {[](LineFrame& f, double by) { f.slant += by; }, 0.05},
        {[](LineFrame& f, double by) { f.start_em += by; }, 0.04},
        {[](LineFrame& f, double by) { f.end_em += by; }, 0.04},
        {[](LineFrame& f, double by) { f.bend_px += by * f.em_up_px; }, 0.03},
        {[](LineFrame& f, double by) { f.squeeze += by / f.width_em; }, 0.03},
    }};
    for (const auto& [move, size] : moves) {
      for (const double sign : {1.0, -1.0}) {
        bool moved = false;
        for (int i = 0; i < 4; ++i) {
          LineFrame frame = line.frame;
          move(frame, sign * size * steps_scale);
          if (!attempt(frame)) break;
          moved = true;
        }
        if (moved) break;
      }
    }
    for (int blur = 0; blur < k_blurs; ++blur) {
      double contrast = 0;
      const double left = unexplained_by(bank_, line.strip, line.glyphs, blur, &contrast);
      if (left >= best) continue;
      best = left;
      line.blur = blur;
      line.contrast = contrast;
    }
    line.unexplained = best;
    if (best > k_worst_guess) break;
  }
  return line;
}

std::optional<SeenLine> LineFinder::find(const Pyramid& pyramid, const RuleCandidate& rule, bool from_to) const {
  const LineFrame frame = frame_of(rule, from_to);
  std::vector<Guess> guesses;
  for (const double em_px : type_sizes(pyramid, frame)) {
    const std::vector<Guess> more = guess_widths(pyramid, frame, em_px);
    guesses.insert(guesses.end(), more.begin(), more.end());
  }
  if (guesses.empty()) return std::nullopt;
  std::sort(guesses.begin(), guesses.end(),
            [](const Guess& a, const Guess& b) { return a.unexplained < b.unexplained; });
  std::optional<SeenLine> best;
  for (std::size_t i = 0; i < std::min<std::size_t>(guesses.size(), 3); ++i) {
    if (guesses[i].unexplained > guesses[0].unexplained + 0.15) break;
    SeenLine line = refine(pyramid, guesses[i]);
    if (!best || line.unexplained < best->unexplained) best = std::move(line);
  }
  if (best && best->unexplained > k_worst_line) best.reset();
  return best;
}

}  // namespace sherdmark::label_text
