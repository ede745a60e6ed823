// Many places between pixels at once.
#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>

#include "scan/label_text_pyramid.h"
#include "sherdmark/base/wide.h"

namespace sherdmark::label_text {
namespace {

constexpr std::size_t k_at_once = 64;

// The four pixels round each place, and how far the place lies from the first of them.
struct Around {
  std::array<std::int32_t, k_at_once> upper, lower, right;  // where: in bytes from the picture's first, and the next
  std::array<float, k_at_once> fx, fy;
  std::array<std::uint8_t, k_at_once> upper_left, upper_right, lower_left, lower_right;
};

void fetch(const GreyView& view, Around& around, std::size_t count) {
  for (std::size_t i = 0; i < count; ++i) {
    const std::uint8_t* upper = view.data + around.upper[i];
    const std::uint8_t* lower = view.data + around.lower[i];
    const std::int32_t right = around.right[i];
    around.upper_left[i] = upper[0];
    around.upper_right[i] = upper[right];
    around.lower_left[i] = lower[0];
    around.lower_right[i] = lower[right];
  }
}

[[gnu::always_inline]] inline void blend(const Around& around, std::size_t count, float* light) {
  for (std::size_t i = 0; i < count; ++i) {
    const int upper_left = around.upper_left[i], upper_right = around.upper_right[i];
    const int lower_left = around.lower_left[i], lower_right = around.lower_right[i];
    const float a = static_cast<float>(upper_left) + around.fx[i] * static_cast<float>(upper_right - upper_left);
    const float b = static_cast<float>(lower_left) + around.fx[i] * static_cast<float>(lower_right - lower_left);
    light[i] = a + around.fy[i] * (b - a);
  }
}

SHERDMARK_WIDE void sample_some(const GreyView& view, const double* x, const double* y, std::size_t count,
                                float* light) {
  Around around;
  const auto stride = static_cast<std::int32_t>(view.stride_bytes);
  const double most_left = view.width_px - 1, most_top = view.height_px - 1;
  for (std::size_t i = 0; i < count; ++i) {
    const double left = std::clamp(x[i] - 0.5, 0.0, most_left);
    const double top = std::clamp(y[i] - 0.5, 0.0, most_top);
    const int x0 = static_cast<int>(left), y0 = static_cast<int>(top);
    around.upper[i] = y0 * stride + x0;
    around.lower[i] = around.upper[i] + (y0 + 1 < view.height_px ? stride : 0);
    around.right[i] = x0 + 1 < view.width_px ? 1 : 0;
    around.fx[i] = static_cast<float>(left - x0);
    around.fy[i] = static_cast<float>(top - y0);
  }
  fetch(view, around, count);
  blend(around, count, light);
}

SHERDMARK_WIDE void sample_some_inside(const GreyView& view, const float* x, const float* y, std::size_t count,
                                       float* light) {
  Around around;
  const auto stride = static_cast<std::int32_t>(view.stride_bytes);
  for (std::size_t i = 0; i < count; ++i) {
    const float left = x[i] - 0.5F, top = y[i] - 0.5F;
    const int x0 = static_cast<int>(left), y0 = static_cast<int>(top);
    around.upper[i] = y0 * stride + x0;
    around.lower[i] = around.upper[i] + stride;
    around.right[i] = 1;
    around.fx[i] = left - static_cast<float>(x0);
    around.fy[i] = top - static_cast<float>(y0);
  }
  fetch(view, around, count);
  blend(around, count, light);
}

}  // namespace

void sample_each(const GreyView& view, const double* x, const double* y, std::size_t count, float* light) {
  for (std::size_t i = 0; i < count; i += k_at_once)
    sample_some(view, x + i, y + i, std::min(k_at_once, count - i), light + i);
}

void sample_each_inside(const GreyView& view, const float* x, const float* y, std::size_t count, float* light) {
  for (std::size_t i = 0; i < count; i += k_at_once)
    sample_some_inside(view, x + i, y + i, std::min(k_at_once, count - i), light + i);
}

}  // namespace sherdmark::label_text
