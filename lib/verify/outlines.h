// How far outlines in one picture lie from each other, in its pixels. Private to verify.
#pragma once

#include <algorithm>
#include <cmath>
#include <limits>

#include "sherdmark/base/picture.h"

namespace sherdmark {

[[nodiscard]] inline double distance_to_edge(const PointF& point, const PointF& a, const PointF& b) {
  const double dx = b.x - a.x;
  const double dy = b.y - a.y;
  const double length_squared = dx * dx + dy * dy;
  const double along = length_squared > 0 ? ((point.x - a.x) * dx + (point.y - a.y) * dy) / length_squared : 0;
  const double t = std::clamp(along, 0.0, 1.0);
  return std::hypot(point.x - (a.x + t * dx), point.y - (a.y + t * dy));
}

// 0 within it.
[[nodiscard]] inline double distance_to(const PointF& point, const Corners& corners) {
  if (contains(corners, point)) return 0;
  double nearest = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < 4; ++i)
    nearest = std::min(nearest, distance_to_edge(point, corners[i], corners[(i + 1) % 4]));
  return nearest;
}

// Of two that do not overlap.
[[nodiscard]] inline double gap_between(const Corners& a, const Corners& b) {
  double nearest = std::numeric_limits<double>::infinity();
  for (const PointF& corner : a) nearest = std::min(nearest, distance_to(corner, b));
  for (const PointF& corner : b) nearest = std::min(nearest, distance_to(corner, a));
  return nearest;
}

[[nodiscard]] inline double diagonal(const Corners& corners) {
  return std::max(std::hypot(corners[2].x - corners[0].x, corners[2].y - corners[0].y),
                  std::hypot(corners[3].x - corners[1].x, corners[3].y - corners[1].y));
}

// How far the middle of a small code may lie from the text on its label: the two share one slip of paper a few
// millimetres wide.
[[nodiscard]] inline double reach_of_paper_px(const Corners& code, double px_per_mm) {
  constexpr double k_same_paper_mm = 3.0;
  return diagonal(code) / 2 + k_same_paper_mm * px_per_mm;
}

}  // namespace sherdmark
