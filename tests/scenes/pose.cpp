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

// The pose with its angles worked out once, for many points.
class Placer {
 public:
  explicit Placer(const Pose& pose)
      : pose_(pose),
        axis_cos_(std::cos(pose.tilt_axis_rad)),
        axis_sin_(std::sin(pose.tilt_axis_rad)),
        tilt_cos_(std::cos(pose.tilt_rad)),
        tilt_sin_(std::sin(pose.tilt_rad)),
        turn_cos_(std::cos(pose.turn_rad)),
        turn_sin_(std::sin(pose.turn_rad)) {}

  [[nodiscard]] PointF place(const PointPaper& point) const {
    const Space s = tilt(bend(pose_, point));
    const double scale = pose_.px_per_mm * pose_.camera_mm / (pose_.camera_mm + s.z);
    return {pose_.centre.x + scale * (s.x * turn_cos_ - s.y * turn_sin_),
            pose_.centre.y + scale * (s.x * turn_sin_ + s.y * turn_cos_)};
  }

  // Exact for flat paper; for bent paper where to begin.
  [[nodiscard]] PointPaper unplace_flat(const PointF& pixel) const {
    const double dx = (pixel.x - pose_.centre.x) / pose_.px_per_mm, dy = (pixel.y - pose_.centre.y) / pose_.px_per_mm;
    const double x = dx * turn_cos_ + dy * turn_sin_, y = -dx * turn_sin_ + dy * turn_cos_;
    const double seen_along = x * axis_cos_ + y * axis_sin_, seen_across = -x * axis_sin_ + y * axis_cos_;
    const double across = seen_across / (tilt_cos_ - seen_across * tilt_sin_ / pose_.camera_mm);
    const double along = seen_along * (1 + across * tilt_sin_ / pose_.camera_mm);
    return {along * axis_cos_ - across * axis_sin_, along * axis_sin_ + across * axis_cos_};
  }

 private:
  [[nodiscard]] Space tilt(const Space& s) const {
    const double along = s.x * axis_cos_ + s.y * axis_sin_;
    const double across = -s.x * axis_sin_ + s.y * axis_cos_;
    const double tilted = across * tilt_cos_ - s.z * tilt_sin_;
    const double depth = across * tilt_sin_ + s.z * tilt_cos_;
    return {along * axis_cos_ - tilted * axis_sin_, along * axis_sin_ + tilted * axis_cos_, depth};
  }

  const Pose& pose_;
  double axis_cos_, axis_sin_, tilt_cos_, tilt_sin_, turn_cos_, turn_sin_;
};

}  // namespace

PointF Pose::place(const PointPaper& point) const { return Placer{*this}.place(point); }

PointPaper Pose::unplace(const PointF& pixel) const {
  // Newton's method with differences; the map is nearly linear over a label.
  const Placer placer{*this};
  PointPaper p = placer.unplace_flat(pixel);
  if (bend_radius_mm <= 0) return p;
  for (int i = 0; i < 5; ++i) {
    constexpr double k_step = 0.05;
    const PointF here = placer.place(p);
    const PointF right = placer.place({p.x_mm + k_step, p.y_mm});
    const PointF down = placer.place({p.x_mm, p.y_mm + k_step});
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
