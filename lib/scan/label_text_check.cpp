#include "scan/label_text_check.h"

#include <algorithm>
#include <cmath>

namespace sherdmark::label_text {
namespace {

double ink_at(const Pyramid& pyramid, int level, const LineFrame& frame, double x_em, double y_em) {
  const PointF place = frame.at(x_em, y_em);
  const double scale = 1.0 / (1 << level);
  return k_ink_units * (255.0 - static_cast<double>(sample(pyramid.level(level), place.x * scale, place.y * scale)));
}

int sharp_level(const Pyramid& pyramid, const LineFrame& frame) {
  int level = 0;
  while (level + 1 < pyramid.levels() && frame.em_up_px / (1 << level) > 40) ++level;
  return level;
}

// Mean ink over a rectangle of the line's frame.
double mean_ink(const Pyramid& pyramid, int level, const LineFrame& frame, double x0, double x1, double y0, double y1) {
  const double em = frame.em_up_px / (1 << level);
  const int nx = std::clamp(static_cast<int>((x1 - x0) * em * 1.5), 2, 60);
  const int ny = std::clamp(static_cast<int>((y1 - y0) * em * 1.5), 1, 60);
  double sum = 0;
  for (int j = 0; j < ny; ++j)
    for (int i = 0; i < nx; ++i)
      sum += ink_at(pyramid, level, frame, x0 + (x1 - x0) * (i + 0.5) / nx, y0 + (y1 - y0) * (j + 0.5) / ny);
  return sum / (nx * ny);
}

// Depth of the rule against the paper beside it, at a place along the line; the lighter side, for tails of letters.
double depth_at(const Pyramid& pyramid, int level, const LineFrame& frame, double x_em) {
  const double y = -frame.baseline_em;
  const auto ink = [&](double off) { return ink_at(pyramid, level, frame, x_em, y + off); };
  return (ink(-0.03) + ink(0) + ink(0.03)) / 3 - std::min(ink(0.19), ink(-0.19));
}

// Where the rule's depth falls to half near one end of the line; NaN if it does not, or goes on further out. `inward`
// is +1 at the start; `depth` is the mean of the rule.
double half_way(const Pyramid& pyramid, int level, const LineFrame& frame, double at_em, double inward, double depth) {
  constexpr int k_steps = 48;
  constexpr double k_from_em = 0.4, k_to_em = -0.4;
  const double step = (k_to_em - k_from_em) / k_steps;
  double before = 0;
  double found = std::nan("");
  double beyond = 0;
  int counted = 0;
  for (int i = 0; i <= k_steps; ++i) {
    const double x = k_from_em + i * step;
    const double here = depth_at(pyramid, level, frame, at_em + inward * x);
    if (i > 0 && before >= depth / 2 && here < depth / 2) {
      const double share = (before - depth / 2) / std::max(1e-9, before - here);
      found = inward * (x - step + share * step);
      beyond = 0;
      counted = 0;
    }
    if (!std::isnan(found) && std::abs(inward * x - found) > 0.08) {
      beyond += here;
      ++counted;
    }
    before = here;
  }
  if (counted == 0 || beyond / counted > 0.3 * depth) return std::nan("");
  return found;
}

}  // namespace

RuleCheck check_rule(const Pyramid& pyramid, const SeenLine& line) {
  RuleCheck check;
  const LineFrame& frame = line.frame;
  const int level = sharp_level(pyramid, frame);
  const double y = -frame.baseline_em;
  const int parts = std::max(3, static_cast<int>(frame.width_em / 0.3));
  double sum = 0;
  double least = 1e9;
  double held = 0;
  for (int i = 0; i < parts; ++i) {
    const double x0 = 0.05 + (frame.width_em - 0.1) * i / parts;
    const double x1 = 0.05 + (frame.width_em - 0.1) * (i + 1) / parts;
    const double paper = std::min(mean_ink(pyramid, level, frame, x0, x1, y + 0.19, y + 0.25),
                                  mean_ink(pyramid, level, frame, x0, x1, y - 0.22, y - 0.17));
    const double depth = mean_ink(pyramid, level, frame, x0, x1, y - 0.035, y + 0.035) - paper;
    held += 0.30 * (mean_ink(pyramid, level, frame, x0, x1, y - 0.15, y + 0.15) - paper);
    sum += depth;
    least = std::min(least, depth);
  }
  if (sum <= 0) return check;
  const double start = half_way(pyramid, level, frame, 0, 1, sum / parts);
  const double end = half_way(pyramid, level, frame, frame.width_em, -1, sum / parts);
  check.seen = !std::isnan(start) && !std::isnan(end);
  if (!check.seen) return check;
  check.start_off_em = start;
  check.end_off_em = end;
  check.weakest = least * parts / sum;
  check.thickness_em = line.contrast > 0 ? held / parts / line.contrast : 0;
  return check;
}

double rule_above(const Pyramid& pyramid, const SeenLine& line) {
  const int level = sharp_level(pyramid, line.frame);
  double deepest = -1e9;
  for (double y = 0.93; y <= 1.09; y += 0.02) {
    const auto at = [&](double off) {
      return mean_ink(pyramid, level, line.frame, 0.1, line.frame.width_em * 0.5, y + off - 0.02, y + off + 0.02);
    };
    deepest = std::max(deepest, at(0) - std::max(at(0.12), at(-0.12)));
  }
  return deepest / line.contrast;
}

bool print_above(const Pyramid& pyramid, const SeenLine& line, double cap_height_em) {
  constexpr double k_lowest_em = 0.18, k_highest_em = 0.75;  // over the capitals
  constexpr double k_band_em = 0.2, k_step_em = 0.1, k_column_em = 0.07;
  constexpr double k_dark = 0.4, k_light = 0.15;  // shares of the text's contrast
  constexpr int k_least_changes = 6;
  constexpr double k_least_light_share = 0.2;
  const int level = sharp_level(pyramid, line.frame);
  const double width = line.frame.width_em;
  const double paper =
      mean_ink(pyramid, level, line.frame, 0.1, width - 0.1, cap_height_em + 0.06, cap_height_em + 0.16);
  const int columns = std::max(8, static_cast<int>(width / k_column_em));
  for (double up = cap_height_em + k_lowest_em; up <= cap_height_em + k_highest_em; up += k_step_em) {
    int changes = 0;
    int light = 0;
    bool was_dark = false;
    for (int i = 0; i < columns; ++i) {
      const double x0 = width * i / columns, x1 = width * (i + 1) / columns;
      const double ink = (mean_ink(pyramid, level, line.frame, x0, x1, up, up + k_band_em) - paper) / line.contrast;
      light += ink < k_light ? 1 : 0;
      if (ink > k_light && ink < k_dark) continue;
      changes += (ink >= k_dark) != was_dark ? 1 : 0;
      was_dark = ink >= k_dark;
    }
    if (changes >= k_least_changes && light >= k_least_light_share * columns) return true;
  }
  return false;
}

namespace {

struct Moments {
  double count = 0, m = 0, o = 0, mm = 0, mo = 0, oo = 0;
};

// Sums over a window of columns, the ink taken `half_shift` half columns further right.
Moments moments(const Strip& strip, const std::vector<float>& model, int first, int last, int half_shift) {
  Moments sums;
  const auto stride = static_cast<std::size_t>(strip.stride);
  const int left = half_shift >> 1;
  const int right = left + (half_shift & 1);
  for (int r = 0; r < k_rows; ++r) {
    const float* m = &model[static_cast<std::size_t>(r) * stride + k_pad];
    const std::int16_t* o = strip.row(r);
    float sm = 0, so = 0, smm = 0, smo = 0, soo = 0;
    for (int c = first; c < last; ++c) {
      const float ink = 0.5F * static_cast<float>(o[c + left] + o[c + right]);
      sm += m[c];
      so += ink;
      smm += m[c] * m[c];
      smo += m[c] * ink;
      soo += ink * ink;
    }
    sums.m += static_cast<double>(sm);
    sums.o += static_cast<double>(so);
    sums.mm += static_cast<double>(smm);
    sums.mo += static_cast<double>(smo);
    sums.oo += static_cast<double>(soo);
  }
  sums.count = static_cast<double>(k_rows) * (last - first);
  return sums;
}

struct WindowFit {
  double left = 0;
  double contrast = 0;
  double model_energy = 0;
  double ink_energy = 0;
  double paper = 0;
};

WindowFit fit_window(const Strip& strip, const std::vector<float>& model, int first, int last, double contrast) {
  WindowFit best;
  best.left = 1e30;
  for (int shift = -2; shift <= 2; ++shift) {
    const Moments s = moments(strip, model, first, last, shift);
    const double mm = s.mm - s.m * s.m / s.count;
    const double mo = s.mo - s.m * s.o / s.count;
    const double oo = s.oo - s.o * s.o / s.count;
    const double b = std::clamp(mm > 0 ? mo / mm : 0.0, 0.6 * contrast, 1.45 * contrast);
    const double left = std::max(0.0, oo - 2 * b * mo + b * b * mm);
    if (left < best.left) best = {left, b, mm, oo, (s.o - b * s.m) / s.count};
  }
  return best;
}

constexpr int k_spill = 2;  // columns of the neighbours that a window takes in

}  // namespace

TextFit fit_text(const GlyphBank& bank, const SeenLine& line, const std::vector<int>& glyphs) {
  TextFit fit;
  const std::vector<float> model = draw_model(bank, line.strip, line.blur, glyphs);
  int pen = 0;
  double left = 0;
  double ink = 0;
  for (const int index : glyphs) {
    const int columns = bank.glyph(line.blur, index).columns;
    const WindowFit window = fit_window(line.strip, model, pen - k_spill, pen + columns + k_spill, line.contrast);
    fit.left.push_back(window.left);
    fit.contrast.push_back(window.contrast);
    fit.model.push_back(window.model_energy);
    fit.paper.push_back(window.paper);
    left += window.left;
    ink += window.ink_energy;
    pen += columns;
  }
  fit.left_share = ink > 0 ? left / ink : 1;
  fit.noise = left / (k_rows * static_cast<double>(pen + 2 * k_spill * static_cast<int>(glyphs.size())));
  return fit;
}

namespace {

struct Difference {
  double gained = 0;    // squares left over by the rival more than by the text
  double distance = 0;  // the same had nothing disturbed the text
  double noise = 0;     // variance times grid cells that one independent sample covers
};

Difference difference(const GlyphBank& bank, const SeenLine& line, const std::vector<int>& text,
                      const std::vector<int>& rival) {
  Difference sum;
  const std::vector<float> a = draw_model(bank, line.strip, line.blur, text);
  const std::vector<float> b = draw_model(bank, line.strip, line.blur, rival);
  Strip ideal = line.strip;  // what the camera would have seen had nothing disturbed the text
  for (std::size_t i = 0; i < a.size(); ++i)
    ideal.ink[i] = static_cast<std::int16_t>(line.contrast * static_cast<double>(a[i]));
  // Glyph by glyph while the pens stand together, in one window where they do not.
  std::size_t i = 0, j = 0;
  int pen = 0;
  while (i < text.size() || j < rival.size()) {
    const int first = pen;
    bool same = i < text.size() && j < rival.size() && text[i] == rival[j];
    int pen_a = pen, pen_b = pen;
    do {
      if (pen_a <= pen_b && i < text.size())
        pen_a += bank.glyph(line.blur, text[i++]).columns;
      else if (j < rival.size())
        pen_b += bank.glyph(line.blur, rival[j++]).columns;
      else
        break;
    } while (pen_a != pen_b && (i < text.size() || j < rival.size()));
    pen = std::max(pen_a, pen_b);
    if (same && pen_a == pen_b) continue;
    const int from = first - k_spill, to = std::min(pen, line.strip.columns) + k_spill;
    const WindowFit with_text = fit_window(line.strip, a, from, to, line.contrast);
    const WindowFit with_rival = fit_window(line.strip, b, from, to, line.contrast);
    sum.gained += with_rival.left - with_text.left;
    sum.distance += fit_window(ideal, b, from, to, line.contrast).left;
  }
  const double cells_per_pixel = 1.0 / (k_row_em * line.frame.em_up_px * bank.column_em() * line.frame.em_along_px());
  sum.noise = fit_text(bank, line, text).noise * std::max(1.0, cells_per_pixel);
  return sum;
}

}  // namespace

Separation separate(const GlyphBank& bank, const std::vector<SeenLine>& lines, const std::vector<int>& text,
                    const std::vector<int>& rival) {
  const std::vector<std::vector<int>> texts = split_lines(text);
  const std::vector<std::vector<int>> rivals = split_lines(rival);
  double gained = 0, distance = 0, variance = 0;
  for (std::size_t i = 0; i < lines.size() && i < texts.size() && i < rivals.size(); ++i) {
    if (texts[i] == rivals[i]) continue;
    const Difference one = difference(bank, lines[i], texts[i], rivals[i]);
    gained += one.gained;
    distance += one.distance;
    variance += 4 * one.noise * one.distance;
  }
  if (distance <= 0) return {0, 0};
  return {gained / distance, variance > 0 ? gained / std::sqrt(variance) : 1e9};
}

}  // namespace sherdmark::label_text
