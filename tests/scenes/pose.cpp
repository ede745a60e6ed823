#include "scenes/pose.h"

#include <algorithm>
#include <cmath>

namespace sherdmark::scenes {
namespace {

struct Space {
  double x, y, z;  // z away from the camera
};

Space bend(const Pose& pose, const PointPaper& p) {
  if (pose.bend_radius_mm <= 0) return {p.x_mm, p.y_mm, 0};
  const double r = pose.bend_radius_mm;
  const double along = pose.bend_along_text ? p.x_mm : p.y_mm;
  const double angle = std::clamp(along / r, -1.5, 1.5);
  const double across = r * std::sin(angle);
  const double depth = r * (1 - std::cos(angle));
  return pose.bend_along_text ? Space{across, p.y_mm, depth} : Space{p.x_mm, across, depth};
}

Space tilt(const Pose& pose, const Space& s) {
  const double c = std::cos(pose.tilt_axis_rad), n = std::sin(pose.tilt_axis_rad);
  const double along = s.x * c + s.y * n;
  const double across = -s.x * n + s.y * c;
  const double ct = std::cos(pose.tilt_rad), st = std::sin(pose.tilt_rad);
  const double tilted = across * ct - s.z * st;
  const double depth = across * st + s.z * ct;
  return {along * c - tilted * n, along * n + tilted * c, depth};
}

}  // namespace

PointF Pose::place(const PointPaper& point) const {
  const Space s = tilt(*this, bend(*this, point));
  const double scale = px_per_mm * camera_mm / (camera_mm + s.z);
  const double c = std::cos(turn_rad), n = std::sin(turn_rad);
  return {centre.x + scale * (s.x * c - s.y * n), centre.y + scale * (s.x * n + s.y * c)};
}

PointPaper Pose::unplace(const PointF& pixel) const {
  // Newton's method with differences; the map is nearly linear over a label.
  const double c = std::cos(turn_rad), n = std::sin(turn_rad);
  const double dx = (pixel.x - centre.x) / px_per_mm, dy = (pixel.y - centre.y) / px_per_mm;
  PointPaper p{dx * c + dy * n, -dx * n + dy * c};
  for (int i = 0; i < 5; ++i) {
    constexpr double k_step = 0.05;
    const PointF here = place(p);
    const PointF right = place({p.x_mm + k_step, p.y_mm});
    const PointF down = place({p.x_mm, p.y_mm + k_step});
    const double a = (right.x - here.x) / k_step, b = (down.x - here.x) / k_step;
    const double d = (right.y - here.y) / k_step, e = (down.y - here.y) / k_step;
    const double det = a * e - b * d;
    if (std::abs(det) < 1e-6) break;
    const double ex = pixel.x - here.x, ey = pixel.y - here.y;
    p.x_mm += (ex * e - ey * b) / det;
    p.y_mm += (ey * a - ex * d) / det;
    if (std::abs(ex) + std::abs(ey) < 0.01) break;
  }
  return p;
}

Corners Pose::corners(double width_mm, double height_mm) const {
  const double x = width_mm / 2, y = height_mm / 2;
  return {place({-x, -y}), place({x, -y}), place({x, y}), place({-x, y})};
}

}  // namespace sherdmark::scenes
