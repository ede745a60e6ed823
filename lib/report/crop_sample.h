// A photograph between its pixels. Private to the crops of a review.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <span>

#include "sherdmark/base/picture.h"

namespace sherdmark {

// Writes red, green and blue of the photograph at (x, y), pixel edges at whole numbers; nothing beyond its edges.
inline void sample_into(const ColourPicture& photograph, PointF at, std::span<std::uint8_t, 3> rgb) {
  const double x = at.x - 0.5;
  const double y = at.y - 0.5;
  if (x < 0 || y < 0 || x > photograph.width_px - 1 || y > photograph.height_px - 1) return;
  const int left = std::min(static_cast<int>(x), std::max(photograph.width_px - 2, 0));
  const int top = std::min(static_cast<int>(y), std::max(photograph.height_px - 2, 0));
  const int right = std::min(left + 1, photograph.width_px - 1);
  const int bottom = std::min(top + 1, photograph.height_px - 1);
  const auto pixel = [&photograph](int px, int py, std::size_t channel) {
    const auto index =
        static_cast<std::size_t>(py) * static_cast<std::size_t>(photograph.width_px) + static_cast<std::size_t>(px);
    return static_cast<double>(photograph.rgb[index * 3 + channel]);
  };
  const double fx = x - left;
  const double fy = y - top;
  for (std::size_t channel = 0; channel < 3; ++channel)
    rgb[channel] = static_cast<std::uint8_t>(
        std::lround((pixel(left, top, channel) * (1 - fx) + pixel(right, top, channel) * fx) * (1 - fy) +
                    (pixel(left, bottom, channel) * (1 - fx) + pixel(right, bottom, channel) * fx) * fy));
}

}  // namespace sherdmark
