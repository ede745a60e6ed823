// Grey pictures at halved scales, sampling between pixels, and the blocks of a picture where print may stand.
// Private to the reader of artifact labels.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "sherdmark/base/picture.h"

namespace sherdmark::label_text {

// Level 0 is the picture given (not copied), every further level half as wide and high, 2 x 2 pixels averaged.
class Pyramid {
 public:
  Pyramid(const GreyView& picture, int levels);
  [[nodiscard]] int levels() const { return static_cast<int>(halves_.size()) + 1; }
  [[nodiscard]] GreyView level(int index) const;

 private:
  GreyView base_;
  std::vector<GreyPicture> halves_;
};

// Bilinear, in outer-corner coordinates; outside the picture the nearest pixel. `view` must not be empty. Here, for the
// compiler to lay it into the loops that ask for millions of samples a picture.
[[nodiscard]] inline float sample(const GreyView& view, double x, double y) {
  const double left = std::clamp(x - 0.5, 0.0, static_cast<double>(view.width_px - 1));
  const double top = std::clamp(y - 0.5, 0.0, static_cast<double>(view.height_px - 1));
  const int x0 = static_cast<int>(left);
  const int y0 = static_cast<int>(top);
  const int right = x0 + 1 < view.width_px ? 1 : 0;
  const auto fx = static_cast<float>(left - x0);
  const auto fy = static_cast<float>(top - y0);
  const std::uint8_t* upper = view.row(y0) + x0;
  const std::uint8_t* lower = y0 + 1 < view.height_px ? upper + view.stride_bytes : upper;
  const float a = static_cast<float>(upper[0]) + fx * static_cast<float>(upper[right] - upper[0]);
  const float b = static_cast<float>(lower[0]) + fx * static_cast<float>(lower[right] - lower[0]);
  return a + fy * (b - a);
}

// Bilinear like sample(), for places that are known to lie inside (is_inside).
[[nodiscard]] inline float sample_inside(const GreyView& view, float x, float y) {
  const float left = x - 0.5F;
  const float top = y - 0.5F;
  const int x0 = static_cast<int>(left);
  const int y0 = static_cast<int>(top);
  const float fx = left - static_cast<float>(x0);
  const float fy = top - static_cast<float>(y0);
  const std::uint8_t* upper = view.data + y0 * view.stride_bytes + x0;
  const std::uint8_t* lower = upper + view.stride_bytes;
  const float a = static_cast<float>(upper[0]) + fx * static_cast<float>(upper[1] - upper[0]);
  const float b = static_cast<float>(lower[0]) + fx * static_cast<float>(lower[1] - lower[0]);
  return a + fy * (b - a);
}

[[nodiscard]] inline bool is_inside(const GreyView& view, double x, double y) {
  return x >= 1 && y >= 1 && x <= view.width_px - 2 && y <= view.height_px - 2;
}

// What sample() gives at each of these places, and what sample_inside() does: the same numbers, worked out for many
// places at once. For pictures of less than 2^31 bytes, as all that are read are.
void sample_each(const GreyView& view, const double* x, const double* y, std::size_t count, float* light);
void sample_each_inside(const GreyView& view, const float* x, const float* y, std::size_t count, float* light);

// Square blocks of a picture, marked where light and dark lie close together as print on paper does.
struct BlockMask {
  static constexpr int k_block_px = 8;
  int columns = 0;
  int rows = 0;
  std::vector<std::uint8_t> contrast;  // of each block and its neighbours, largest minus smallest grey
  std::vector<std::uint8_t> marked;    // 1: look here

  [[nodiscard]] std::size_t index(int column, int row) const {
    return static_cast<std::size_t>(row) * static_cast<std::size_t>(columns) + static_cast<std::size_t>(column);
  }
};

[[nodiscard]] BlockMask find_print(const GreyView& view);

}  // namespace sherdmark::label_text
