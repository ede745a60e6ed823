#include "sherdmark/base/picture.h"

#include <algorithm>

namespace sherdmark {

GreyView GreyView::crop(int x, int y, int w_px, int h_px) const {
  const int left = std::clamp(x, 0, width_px);
  const int top = std::clamp(y, 0, height_px);
  const int right = std::clamp(x + w_px, left, width_px);
  const int bottom = std::clamp(y + h_px, top, height_px);
  return {data + top * stride_bytes + left, right - left, bottom - top, stride_bytes};
}

GreyPicture::GreyPicture(int width_px, int height_px, std::uint8_t fill)
    : width_px_(width_px),
      height_px_(height_px),
      pixels_(static_cast<std::size_t>(width_px) * static_cast<std::size_t>(height_px), fill) {}

PointF centre_of(const Corners& corners) {
  PointF centre;
  for (const PointF& corner : corners) centre = {centre.x + corner.x / 4, centre.y + corner.y / 4};
  return centre;
}

bool contains(const Corners& corners, const PointF& point) {
  int left = 0;
  int right = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    const PointF& a = corners[i];
    const PointF& b = corners[(i + 1) % 4];
    const double side = (b.x - a.x) * (point.y - a.y) - (b.y - a.y) * (point.x - a.x);
    left += side > 0 ? 1 : 0;
    right += side < 0 ? 1 : 0;
  }
  return (left == 0) != (right == 0);
}

GreyPicture halved(const GreyView& view) {
  GreyPicture half{std::max(1, view.width_px / 2), std::max(1, view.height_px / 2)};
  if (view.empty()) return half;
  const int beside = view.width_px > 1 ? 1 : 0;  // a side of one pixel is its own neighbour
  const int below = view.height_px > 1 ? 1 : 0;
  for (int y = 0; y < half.height_px(); ++y) {
    const std::uint8_t* upper = view.row(2 * y);
    const std::uint8_t* lower = view.row(2 * y + below);
    std::uint8_t* out = half.row(y);
    for (int x = 0; x < half.width_px(); ++x)
      out[x] = static_cast<std::uint8_t>(
          (upper[2 * x] + upper[2 * x + beside] + lower[2 * x] + lower[2 * x + beside] + 2) >> 2);
  }
  return half;
}

GreyPicture to_grey(const ColourPicture& picture) {
  GreyPicture grey{picture.width_px, picture.height_px};
  const std::uint8_t* in = picture.rgb.data();
  for (int y = 0; y < picture.height_px; ++y) {
    std::uint8_t* out = grey.row(y);
    for (int x = 0; x < picture.width_px; ++x, in += 3)
      out[x] = static_cast<std::uint8_t>((in[0] * 19595U + in[1] * 38470U + in[2] * 7471U + 32768U) >> 16U);
  }
  return grey;
}

}  // namespace sherdmark
