// How a flat or bent piece of paper lies before the camera: paper millimetres to picture pixels and back.
#pragma once

#include "sherdmark/base/picture.h"

namespace sherdmark::scenes {

struct PointPaper {  // mm from the middle of the paper, x to the right, y down as it is read
  double x_mm = 0;
  double y_mm = 0;
};

struct Pose {
  PointF centre;                // of the paper in the picture
  double px_per_mm = 10;        // at its centre, before foreshortening
  double turn_rad = 0;          // of the reading direction in the picture, clockwise as seen
  double tilt_rad = 0;          // of the paper out of the picture's plane
  double tilt_axis_rad = 0;     // direction of the axis it is tilted about, from the reading direction
  double camera_mm = 350;       // distance to the camera; nearer means more perspective
  double bend_radius_mm = 0;    // of the body it is glued to; 0 is flat
  bool bend_along_text = true;  // true: the line of text runs round the body, false: along it

  [[nodiscard]] PointF place(const PointPaper& point) const;
  // Inverse of place, for points on the paper's side that the camera sees.
  [[nodiscard]] PointPaper unplace(const PointF& pixel) const;
  // Corners of a sheet of that size, in reading order.
  [[nodiscard]] Corners corners(double width_mm, double height_mm) const;
};

}  // namespace sherdmark::scenes
