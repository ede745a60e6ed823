// What a printer and a photograph do to a label, for the tests that let other readers judge the codes on it.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "sherdmark/base/picture.h"

namespace sherdmark::testing {

// Toner grows over the edge of every dark dot: its four neighbours at 600 dpi turn dark, 0.04 mm on each side, twice
// what the house standard takes for granted (common practice, no source).
inline GreyPicture with_toner_spread(const GreyPicture& page) {
  GreyPicture spread = page;
  for (int y = 1; y + 1 < page.height_px(); ++y)
    for (int x = 1; x + 1 < page.width_px(); ++x)
      spread.row(y)[x] =
          std::min({page.row(y)[x], page.row(y)[x - 1], page.row(y)[x + 1], page.row(y - 1)[x], page.row(y + 1)[x]});
  return spread;
}

// A phone above the bag: a label of 600 dpi seen at 1 / `scale` of its pixels (2.6: about nine pixels a millimetre, a
// whole bag in the picture; 1: a close-up), turned by three degrees, veiled by polyethylene, with the shine of a lamp
// across a corner and a little noise.
inline GreyPicture photographed_through_a_bag(const GreyPicture& label, double scale = 2.6) {
  constexpr double k_turn = 0.0524;
  const int width = static_cast<int>(label.width_px() / scale * 1.12);
  const int height = static_cast<int>(label.height_px() / scale * 1.2);
  GreyPicture photo{width, height};
  const double c = std::cos(k_turn), s = std::sin(k_turn);
  std::uint32_t noise = 12345;
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) {
      double sum = 0;
      for (int j = -1; j <= 1; ++j)
        for (int i = -1; i <= 1; ++i) {
          const double u = (x + i * 0.45 - width / 2.0) * scale, v = (y + j * 0.45 - height / 2.0) * scale;
          const int px = static_cast<int>(label.width_px() / 2.0 + c * u - s * v);
          const int py = static_cast<int>(label.height_px() / 2.0 + s * u + c * v);
          const bool on = px >= 0 && py >= 0 && px < label.width_px() && py < label.height_px();
          sum += on ? label.row(py)[px] : 96;
        }
      noise = noise * 1664525U + 1013904223U;
      const double shine = 70 * std::exp(-std::pow((x + y - 0.35 * (width + height)) / (0.10 * width), 2.0));
      const double veiled = 62 + 0.58 * sum / 9 + shine + ((noise >> 24U) % 13) - 6.0;
      photo.row(y)[x] = static_cast<std::uint8_t>(std::clamp(veiled, 0.0, 255.0));
    }
  return photo;
}

}  // namespace sherdmark::testing
