// A rule's course and ends, found again at a finer scale than the one at which it was noticed.
#include <algorithm>
#include <array>
#include <cmath>

#include "scan/label_text_line.h"

namespace sherdmark::label_text {
namespace {

// Depth of the rule against the paper on its lighter side (a tail of a letter may darken one), `way_px` along it.
double depth_at(const Pyramid& pyramid, const LineFrame& frame, double way_px, double scale_px) {
  const double t = std::clamp(way_px / frame.length_px, -0.2, 1.2);
  const double bow = 4 * t * (1 - t) * frame.bend_px;
  int level = 0;
  while (level + 1 < pyramid.levels() && (2 << level) <= scale_px) ++level;
  const GreyView view = pyramid.level(level);
  const double scale = 1.0 / (1 << level);
  const auto light = [&](double off_px) {
    const double off = bow + off_px * scale_px;
    return static_cast<double>(sample(view, (frame.start.x + frame.along.x * way_px + frame.up.x * off) * scale,
                                      (frame.start.y + frame.along.y * way_px + frame.up.y * off) * scale));
  };
  const double beside = std::max(light(3.0), light(-3.0));
  return beside - (light(-0.5) + light(0) + light(0.5)) / 3;
}

// How far outside an end (negative: inside) the depth falls to half; 0 when it does not within reach.
double end_shift(const Pyramid& pyramid, const LineFrame& frame, double scale_px, bool at_start) {
  constexpr double k_inside = 9, k_outside = 7, k_step = 0.5;
  const auto depth = [&](double outwards) {
    const double way = at_start ? -outwards * scale_px : frame.length_px + outwards * scale_px;
    return depth_at(pyramid, frame, way, scale_px);
  };
  std::vector<double> inner;
  for (double x = -k_inside; x <= -3; x += 1) inner.push_back(depth(x));
  std::nth_element(inner.begin(), inner.begin() + static_cast<std::ptrdiff_t>(inner.size() / 2), inner.end());
  const double half = inner[inner.size() / 2] / 2;
  if (half <= 0) return 0;
  double before = depth(-4);
  for (double x = -4 + k_step; x <= k_outside; x += k_step) {
    const double here = depth(x);
    if (before >= half && here < half)
      return (x - k_step + k_step * (before - half) / std::max(1e-9, before - here)) * scale_px;
    before = here;
  }
  return 0;
}

}  // namespace

namespace {

// How far the darkest place lies off the frame's rule towards `up`, in pixels of the level; NaN where there is no dip.
double dip_offset(const GreyView& view, const LineFrame& frame, double t, double scale) {
  constexpr int k_reach = 3;
  const double bow = 4 * t * (1 - t) * frame.bend_px;
  const double way = t * frame.length_px;
  constexpr std::size_t k_across = 2 * k_reach + 1, k_places = 3 * k_across;  // each between its neighbours along
  std::array<double, k_places> x, y;
  for (std::size_t place = 0; place < k_places; ++place) {
    const double off = bow + (static_cast<int>(place / 3) - k_reach) / scale;
    const double along = way + (static_cast<int>(place % 3) - 1) / scale;
    x[place] = (frame.start.x + frame.along.x * along + frame.up.x * off) * scale;
    y[place] = (frame.start.y + frame.along.y * along + frame.up.y * off) * scale;
  }
  std::array<float, k_places> seen;
  sample_each(view, x.data(), y.data(), k_places, seen.data());
  std::array<double, k_across> light{};
  for (std::size_t place = 0; place < k_places; ++place) light[place / 3] += static_cast<double>(seen[place]);
  const auto darkest = static_cast<std::size_t>(std::min_element(light.begin() + 1, light.end() - 1) - light.begin());
  const double bend = light[darkest - 1] - 2 * light[darkest] + light[darkest + 1];
  if (bend <= 0) return std::nan("");
  const double within = std::clamp((light[darkest - 1] - light[darkest + 1]) / (2 * bend), -0.75, 0.75);
  return static_cast<double>(darkest) - k_reach + within;
}

// Straight line or parabola through the offsets: least squares, those farthest off left out once.
std::array<double, 3> fit_offsets(std::vector<std::array<double, 2>> points) {
  std::array<double, 3> fit = fit_parabola(points);
  const auto off = [&fit](const std::array<double, 2>& p) {
    return std::abs(fit[0] + p[0] * (fit[1] + p[0] * fit[2]) - p[1]);
  };
  std::sort(points.begin(), points.end(), [&](const auto& a, const auto& b) { return off(a) < off(b); });
  points.resize(std::max<std::size_t>(5, points.size() * 3 / 4));
  return fit_parabola(points);
}

}  // namespace

void settle_course(const Pyramid& pyramid, LineFrame& frame, int level) {
  const GreyView view = pyramid.level(level);
  const double scale = 1.0 / (1 << level);
  const int count = std::clamp(static_cast<int>(frame.length_px * scale / 2), 8, 40);
  std::vector<std::array<double, 2>> points;
  for (int i = 0; i < count; ++i) {
    const double t = (i + 0.5) / count;
    const double off = dip_offset(view, frame, t, scale);
    if (!std::isnan(off)) points.push_back({t, off / scale});
  }
  if (points.size() < 6) return;
  const auto [a, b, c] = fit_offsets(points);
  // Offsets a + b t + c t^2 towards `up` are added to the bow 4 t (1 - t) bend.
  const PointF start{frame.start.x + frame.up.x * a, frame.start.y + frame.up.y * a};
  const double rise = b + c;
  const PointF way{frame.along.x * frame.length_px + frame.up.x * rise,
                   frame.along.y * frame.length_px + frame.up.y * rise};
  frame.start = start;
  frame.length_px = std::hypot(way.x, way.y);
  frame.along = {way.x / frame.length_px, way.y / frame.length_px};
  frame.up = {frame.along.y, -frame.along.x};
  frame.bend_px -= c / 4;
}

void settle_ends(const Pyramid& pyramid, LineFrame& frame, double scale_px) {
  const double before = end_shift(pyramid, frame, scale_px, true);
  const double after = end_shift(pyramid, frame, scale_px, false);
  if (frame.length_px + before + after < frame.length_px / 2) return;
  const double length = frame.length_px + before + after;
  // The bow keeps its curvature when the chord grows.
  frame.bend_px *= (length / frame.length_px) * (length / frame.length_px);
  frame.start = {frame.start.x - frame.along.x * before, frame.start.y - frame.along.y * before};
  frame.length_px = length;
}

LineFrame frame_of(const RuleCandidate& rule) {
  LineFrame frame;
  frame.length_px = std::hypot(rule.to.x - rule.from.x, rule.to.y - rule.from.y);
  frame.start = rule.from;
  frame.along = {(rule.to.x - rule.from.x) / frame.length_px, (rule.to.y - rule.from.y) / frame.length_px};
  frame.up = {frame.along.y, -frame.along.x};
  frame.bend_px = -rule.bend_px;
  return frame;
}

RuleCandidate seen_finer(const Pyramid& pyramid, const RuleCandidate& rule, int level) {
  LineFrame frame = frame_of(rule);
  settle_course(pyramid, frame, level);
  settle_ends(pyramid, frame, 1 << level);
  RuleCandidate finer = rule;
  finer.from = frame.start;
  finer.to = {frame.start.x + frame.along.x * frame.length_px, frame.start.y + frame.along.y * frame.length_px};
  finer.bend_px = -frame.bend_px;
  finer.scale_px = 1 << level;
  return finer;
}

}  // namespace sherdmark::label_text
