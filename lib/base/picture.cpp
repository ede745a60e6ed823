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
