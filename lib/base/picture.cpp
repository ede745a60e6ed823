#include "sherdmark/base/picture.h"

#include <algorithm>
#include <cstring>

#include "sherdmark/base/wide.h"

#ifdef __linux__
#include <sys/mman.h>
#include <unistd.h>
#endif

namespace sherdmark {

GreyView GreyView::crop(int x, int y, int w_px, int h_px) const {
  const int left = std::clamp(x, 0, width_px);
  const int top = std::clamp(y, 0, height_px);
  const int right = std::clamp(x + w_px, left, width_px);
  const int bottom = std::clamp(y + h_px, top, height_px);
  return {data + top * stride_bytes + left, right - left, bottom - top, stride_bytes};
}

namespace {

constexpr std::size_t k_large_page_bytes = std::size_t{2} << 20U;
constexpr std::size_t k_rounded_bytes = 4 * k_large_page_bytes;  // of smaller ones the rest of a page would be lost
constexpr std::size_t k_allocator_bytes = 64;                    // at least what the allocator puts before a block

// A picture of 12 megapixels in pages of 4 KB costs 3,000 interruptions before its first pixel is written. Memory of a
// whole number of large pages is laid by the system where they fit.
std::size_t room_for(std::size_t bytes) {
  if (bytes < k_rounded_bytes) return bytes;
  return (bytes + k_allocator_bytes + k_large_page_bytes - 1) / k_large_page_bytes * k_large_page_bytes -
         k_allocator_bytes;
}

// Advice only: where it is not taken the memory is as good.
void ask_for_large_pages([[maybe_unused]] std::uint8_t* from, [[maybe_unused]] std::size_t bytes) {
#ifdef __linux__
  if (bytes < k_large_page_bytes / 2) return;
  const auto page_bytes = static_cast<std::size_t>(::sysconf(_SC_PAGESIZE));
  const std::size_t before = reinterpret_cast<std::uintptr_t>(from) % page_bytes;
  (void)::madvise(from - before, room_for(bytes) + before, MADV_HUGEPAGE);
#endif
}

}  // namespace

GreyPicture GreyPicture::unfilled(int width_px, int height_px) {
  GreyPicture made;
  made.width_px_ = width_px;
  made.height_px_ = height_px;
  const std::size_t bytes = static_cast<std::size_t>(width_px) * static_cast<std::size_t>(height_px);
  made.pixels_.reserve(room_for(bytes));
  ask_for_large_pages(made.pixels_.data(), bytes);
  made.pixels_.resize(bytes);
  return made;
}

GreyPicture::GreyPicture(int width_px, int height_px, std::uint8_t fill) : GreyPicture{unfilled(width_px, height_px)} {
  std::fill(pixels_.begin(), pixels_.end(), fill);
}

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

namespace {

// Two pixels as one number of 16 bits, so that the machine takes many pairs at once; the order of the bytes does not
// matter to a sum.
SHERDMARK_WIDE void halve_rows(const std::uint8_t* upper, const std::uint8_t* lower, std::uint8_t* out, int width_px) {
  for (int x = 0; x < width_px; ++x) {
    std::uint16_t above = 0, below = 0;
    std::memcpy(&above, upper + 2 * x, sizeof above);
    std::memcpy(&below, lower + 2 * x, sizeof below);
    const int sum = (above & 0xFF) + (above >> 8) + (below & 0xFF) + (below >> 8);
    out[x] = static_cast<std::uint8_t>((sum + 2) >> 2);
  }
}

}  // namespace

GreyPicture halved(const GreyView& view) {
  if (view.empty()) return {1, 1};
  GreyPicture half = GreyPicture::unfilled(std::max(1, view.width_px / 2), std::max(1, view.height_px / 2));
  const int below = view.height_px > 1 ? 1 : 0;  // a side of one pixel is its own neighbour
  for (int y = 0; y < half.height_px(); ++y) {
    const std::uint8_t* upper = view.row(2 * y);
    const std::uint8_t* lower = view.row(2 * y + below);
    if (view.width_px == 1) {
      *half.row(y) = static_cast<std::uint8_t>((2 * upper[0] + 2 * lower[0] + 2) >> 2);
    } else {
      halve_rows(upper, lower, half.row(y), half.width_px());
    }
  }
  return half;
}

GreyPicture to_grey(const ColourPicture& picture) {
  GreyPicture grey = GreyPicture::unfilled(picture.width_px, picture.height_px);
  const std::uint8_t* in = picture.rgb.data();
  for (int y = 0; y < picture.height_px; ++y) {
    std::uint8_t* out = grey.row(y);
    for (int x = 0; x < picture.width_px; ++x, in += 3)
      out[x] = static_cast<std::uint8_t>((in[0] * 19595U + in[1] * 38470U + in[2] * 7471U + 32768U) >> 16U);
  }
  return grey;
}

}  // namespace sherdmark
