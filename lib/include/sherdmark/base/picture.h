// Pixels cross layers as one neutral non-owning view; these are that view and the two owners behind it.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <new>
#include <utility>
#include <vector>

namespace sherdmark {

// A point in pixels; (0,0) is the outer corner of the first pixel, x to the right, y down.
struct PointF {
  double x = 0;
  double y = 0;
};

// Corners in order: top left, top right, bottom right, bottom left of the thing as it is read.
using Corners = std::array<PointF, 4>;

// 8-bit grey, row by row. Valid only while the owner lives.
struct GreyView {
  const std::uint8_t* data = nullptr;
  int width_px = 0;
  int height_px = 0;
  std::ptrdiff_t stride_bytes = 0;

  [[nodiscard]] const std::uint8_t* row(int y) const { return data + y * stride_bytes; }
  [[nodiscard]] std::uint8_t at(int x, int y) const { return row(y)[x]; }
  [[nodiscard]] bool empty() const { return width_px <= 0 || height_px <= 0; }
  // The part of this view inside the rectangle, clipped to the picture.
  [[nodiscard]] GreyView crop(int x, int y, int w_px, int h_px) const;
};

// Gives memory as it comes where no value is said.
template <typename T>
struct UnfilledAllocator : std::allocator<T> {
  template <typename U>
  struct rebind {
    using other = UnfilledAllocator<U>;
  };
  template <typename U>
  void construct(U* at) {
    ::new (static_cast<void*>(at)) U;
  }
  template <typename U, typename... Values>
  void construct(U* at, Values&&... values) {
    ::new (static_cast<void*>(at)) U(std::forward<Values>(values)...);
  }
};

// Owns 8-bit grey pixels, densely packed.
class GreyPicture {
 public:
  GreyPicture() = default;
  GreyPicture(int width_px, int height_px, std::uint8_t fill = 255);
  // For those who write every pixel before one is read: filling twelve million takes as long as halving them.
  [[nodiscard]] static GreyPicture unfilled(int width_px, int height_px);

  [[nodiscard]] int width_px() const { return width_px_; }
  [[nodiscard]] int height_px() const { return height_px_; }
  [[nodiscard]] std::uint8_t* row(int y) { return pixels_.data() + static_cast<std::ptrdiff_t>(y) * width_px_; }
  [[nodiscard]] const std::uint8_t* row(int y) const {
    return pixels_.data() + static_cast<std::ptrdiff_t>(y) * width_px_;
  }
  [[nodiscard]] GreyView view() const { return {pixels_.data(), width_px_, height_px_, width_px_}; }
  [[nodiscard]] bool empty() const { return pixels_.empty(); }

 private:
  int width_px_ = 0;
  int height_px_ = 0;
  std::vector<std::uint8_t, UnfilledAllocator<std::uint8_t>> pixels_;
};

// Owns 8-bit RGB pixels, interleaved, densely packed.
struct ColourPicture {
  int width_px = 0;
  int height_px = 0;
  std::vector<std::uint8_t> rgb;  // width * height * 3

  [[nodiscard]] bool empty() const { return rgb.empty(); }
};

// Middle of the four corners.
[[nodiscard]] PointF centre_of(const Corners& corners);
// Whether the point lies inside the convex quadrilateral, its edge included; either turning sense.
// Corners that all lie on one line hold nothing.
[[nodiscard]] bool contains(const Corners& corners, const PointF& point);

// Half as wide and high (at least one pixel), each pixel the rounded mean of four, without an odd last row or column.
[[nodiscard]] GreyPicture halved(const GreyView& view);

// ITU-R BT.601 luma.
[[nodiscard]] GreyPicture to_grey(const ColourPicture& picture);

}  // namespace sherdmark
