#include "scan/label_text_line_map.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <utility>

#include "sherdmark/base/wide.h"

namespace sherdmark::label_text {
namespace {

// Share of the local contrast that the second derivative of a line must reach.
constexpr float k_least_strength_share = 0.06F;
constexpr float k_least_strength = 2.0F;
constexpr int k_block_px = BlockMask::k_block_px;

// 1, 2 and 1 times three rows.
SHERDMARK_WIDE void smooth_down(const std::uint8_t* above, const std::uint8_t* here, const std::uint8_t* below,
                                std::int16_t* __restrict out, int count) {
  for (int i = 0; i < count; ++i) out[i] = static_cast<std::int16_t>(above[i] + 2 * here[i] + below[i]);
}

// Of `count + 2` numbers.
SHERDMARK_WIDE void smooth_across(const std::int16_t* __restrict in, std::int16_t* __restrict out, int count) {
  for (int x = 0; x < count; ++x) out[x] = static_cast<std::int16_t>(in[x] + 2 * in[x + 1] + in[x + 2]);
}

SHERDMARK_WIDE void laplacian_of(const std::int16_t* up, const std::int16_t* mid, const std::int16_t* down,
                                 std::int16_t* __restrict out, int count) {
  for (int x = 0; x < count; ++x)
    out[x] = static_cast<std::int16_t>(mid[x - 1] + mid[x + 1] + up[x] + down[x] - 4 * mid[x]);
}

// The largest of the numbers of a block's row.
std::int16_t largest_of_row(const std::int16_t* in) {
  std::array<std::int16_t, 4> four{};
  for (std::size_t i = 0; i < 4; ++i) four[i] = std::max(in[i], in[i + 4]);
  return std::max(std::max(four[0], four[2]), std::max(four[1], four[3]));
}

}  // namespace

// 1-2-1 smoothing in both directions, 16 times the grey, of the pixels [left - 1, right + 1) of three rows and more.
class SmoothRows {
 public:
  SmoothRows(const GreyView& view, int left, int top, int width, int height)
      : width_{width + 2}, grey_(static_cast<std::size_t>(width_) * static_cast<std::size_t>(height + 2)) {
    std::vector<std::int16_t> vertical(static_cast<std::size_t>(width_) + 2);
    for (int y = 0; y < height + 2; ++y) {
      const auto row_at = [&](int at) { return view.row(std::clamp(at, 0, view.height_px - 1)); };
      const int centre = std::clamp(top - 1 + y, 0, view.height_px - 1);
      const std::uint8_t *above = row_at(centre - 1), *here = view.row(centre), *below = row_at(centre + 1);
      const int first = left - 2;  // picture column of vertical[0]
      const int from = std::max(0, -first), to = std::min(width_ + 2, view.width_px - first);
      smooth_down(above + first + from, here + first + from, below + first + from, vertical.data() + from, to - from);
      for (int i = 0; i < from; ++i) vertical[static_cast<std::size_t>(i)] = vertical[static_cast<std::size_t>(from)];
      for (int i = to; i < width_ + 2; ++i)
        vertical[static_cast<std::size_t>(i)] = vertical[static_cast<std::size_t>(to - 1)];
      smooth_across(vertical.data(), grey_.data() + static_cast<std::ptrdiff_t>(y) * width_, width_);
    }
  }
  // Row -1 … height, so that [-1] and [width] may be asked for.
  [[nodiscard]] const std::int16_t* row(int y) const {
    return grey_.data() + static_cast<std::ptrdiff_t>(y + 1) * width_ + 1;
  }

 private:
  int width_;
  std::vector<std::int16_t> grey_;
};

LineMap::LineMap(const GreyView& view, BlockMask print)
    : print_{std::move(print)}, width_{view.width_px}, height_{view.height_px}, blocks_(print_.marked.size()) {
  // Room that is not written to costs nothing; a copy into more room does.
  constexpr std::ptrdiff_t k_most_in_block = 5;
  pixels_.reserve(static_cast<std::size_t>(k_most_in_block * std::ranges::count(print_.marked, std::uint8_t{1})));
  for (int row = 0; row < print_.rows; ++row) {
    for (int column = 0; column < print_.columns; ++column) {
      if (print_.marked[print_.index(column, row)] == 0) continue;
      int end = column;
      while (end < print_.columns && print_.marked[print_.index(end, row)] != 0) ++end;
      find_in_run(view, column, end, row);
      column = end;
    }
  }
}

std::vector<std::uint8_t> LineMap::outside(const BlockMask& mask) const {
  std::vector<std::uint8_t> outside(pixels_.size(), 0);
  for (std::size_t i = 0; i < blocks_.size(); ++i)
    if (mask.marked[i] == 0)
      std::fill_n(outside.begin() + blocks_[i].first, std::popcount(blocks_[i].found), std::uint8_t{1});
  return outside;
}

void LineMap::find_in_run(const GreyView& view, int first, int end, int row) {
  const int left = first * k_block_px, top = row * k_block_px, width = (end - first) * k_block_px;
  const SmoothRows grey{view, left, top, width, k_block_px};
  laplacian_.resize(static_cast<std::size_t>(width) * k_block_px);
  for (int y = 0; y < k_block_px; ++y)
    laplacian_of(grey.row(y - 1), grey.row(y), grey.row(y + 1), laplacian_.data() + std::ptrdiff_t{y} * width, width);
  for (int column = first; column < end; ++column) {
    const auto contrast = static_cast<float>(print_.contrast[print_.index(column, row)]);
    const float least = std::max(k_least_strength, k_least_strength_share * contrast);
    blocks_[print_.index(column, row)].first = static_cast<int>(pixels_.size());
    const int from = (column - first) * k_block_px;
    for (int y = 0; y < k_block_px; ++y)
      find_in_row(grey, laplacian_.data() + std::ptrdiff_t{y} * width + from, left, top, from, y, least);
  }
}

void LineMap::find_in_row(const SmoothRows& grey, const std::int16_t* laplacian, int left, int top, int from, int y,
                          float least) {
  if (top + y < 1 || top + y >= height_ - 1) return;
  const auto least_laplacian = static_cast<std::int16_t>(16.0F * least * 0.8F);
  if (largest_of_row(laplacian) < least_laplacian) return;
  const std::int16_t *up = grey.row(y - 1), *mid = grey.row(y), *down = grey.row(y + 1);
  for (int i = 0; i < k_block_px; ++i) {
    const int at = left + from + i;
    if (laplacian[i] < least_laplacian || at < 1 || at >= width_ - 1) continue;
    add_if_line(up + from + i, mid + from + i, down + from + i, at, top + y, least);
  }
}

// The rows are given at the pixel, which lies at (x, y) of the picture.
void LineMap::add_if_line(const std::int16_t* up, const std::int16_t* mid, const std::int16_t* down, int x, int y,
                          float least) {
  const auto across_x = static_cast<float>(mid[-1] - 2 * mid[0] + mid[1]) / 16.0F;
  const auto across_y = static_cast<float>(up[0] - 2 * mid[0] + down[0]) / 16.0F;
  const auto mixed = static_cast<float>(down[1] - down[-1] - up[1] + up[-1]) / 64.0F;
  const float half_difference = (across_x - across_y) / 2;
  const float root = std::sqrt(half_difference * half_difference + mixed * mixed);
  const float mean = (across_x + across_y) / 2;
  const float strength = mean + root;
  if (strength < least || std::abs(mean - root) > 0.6F * strength) return;
  // Unit normal: eigenvector of the larger eigenvalue.
  float normal_x = half_difference + root;
  float normal_y = mixed;
  if (half_difference < 0) {
    normal_x = mixed;
    normal_y = root - half_difference;
  }
  const float length = std::sqrt(normal_x * normal_x + normal_y * normal_y);
  if (length < 1e-6F) return;
  normal_x /= length;
  normal_y /= length;
  const auto slope_x = static_cast<float>(mid[1] - mid[-1]) / 32.0F;
  const auto slope_y = static_cast<float>(down[0] - up[0]) / 32.0F;
  const float offset = -(slope_x * normal_x + slope_y * normal_y) / strength;
  if (std::max(std::abs(offset * normal_x), std::abs(offset * normal_y)) > 0.65F) return;
  blocks_[print_.index(x / k_block_px, y / k_block_px)].found |= bit(x, y);
  pixels_.push_back({static_cast<float>(x) + 0.5F + offset * normal_x, static_cast<float>(y) + 0.5F + offset * normal_y,
                     -normal_y, normal_x, strength});
}

}  // namespace sherdmark::label_text
