// Plain picture work that helps a reader: sizes, contrast, sharpness, turning. Private to the layer. All of them are
// pure: a view goes in, a picture comes out.
#pragma once

#include "sherdmark/base/picture.h"

namespace sherdmark {

// Pixel (x, y) of a made picture lies at (xx·x + xy·y + x0, yx·x + yy·y + y0) of the one it was made from.
struct Affine {
  double xx = 1, xy = 0, x0 = 0;
  double yx = 0, yy = 1, y0 = 0;
  [[nodiscard]] PointF operator()(const PointF& p) const {
    return {xx * p.x + xy * p.y + x0, yx * p.x + yy * p.y + y0};
  }
};

struct MadePicture {
  GreyPicture picture;
  Affine back;
};

[[nodiscard]] GreyPicture copied(const GreyView& in);
[[nodiscard]] GreyPicture inverted(const GreyView& in);

// Averages of `factor` × `factor` pixels; what is left over on the right and below is dropped.
[[nodiscard]] MadePicture shrunk(const GreyView& in, int factor);
// Bilinear; `factor` above 1 enlarges. Below 1 use it only down to a half.
[[nodiscard]] MadePicture resized(const GreyView& in, double factor);
// Turned clockwise about its middle, on grey ground large enough for all of it.
[[nodiscard]] MadePicture turned(const GreyView& in, double degrees);

// Mean over a square of 2·radius+1 pixels, cut off at the edges.
[[nodiscard]] GreyPicture blurred(const GreyView& in, int radius);
// in + amount · (in - blurred(in, radius)).
[[nodiscard]] GreyPicture sharpened(const GreyView& in, int radius, double amount);
// Dark and light stretched so that local mean and deviation are the same everywhere.
[[nodiscard]] GreyPicture evened(const GreyView& in, int radius);
// Black where darker than the local mean by `share` of the local deviation, else white (Niblack's rule).
[[nodiscard]] GreyPicture thresholded(const GreyView& in, int radius, double share);
// Black where darker by more than `shade` levels than the mean of the square of 2·radius+1 pixels about it, else white.
[[nodiscard]] GreyPicture darker_than_near(const GreyView& in, int radius, int shade);
// The lightest and darkest percent cut off, the rest stretched to the full range.
[[nodiscard]] GreyPicture stretched(const GreyView& in);

}  // namespace sherdmark
