#include "scan/label_text_pyramid.h"

#include <algorithm>

namespace sherdmark::label_text {
namespace {

// Light enough to be lit paper and dark enough in it to be print; both relative, so that shade does not matter.
constexpr int k_least_contrast = 22;
constexpr double k_least_contrast_share = 0.20;

struct Extremes {
  std::vector<std::uint8_t> smallest;
  std::vector<std::uint8_t> largest;
};

// Of every block, those that the picture's border cuts as well; a row of blocks at a time, down first, so that the
// machine can do many columns at once.
Extremes block_extremes(const GreyView& view, const BlockMask& mask) {
  constexpr int k_block = BlockMask::k_block_px;
  Extremes found{std::vector<std::uint8_t>(mask.contrast.size(), 255),
                 std::vector<std::uint8_t>(mask.contrast.size(), 0)};
  const auto width = static_cast<std::size_t>(view.width_px);
  std::vector<std::uint8_t> low(width), high(width);
  for (int row = 0; row < mask.rows; ++row) {
    std::copy_n(view.row(row * k_block), width, low.begin());
    high = low;
    for (int y = 1; y < std::min(k_block, view.height_px - row * k_block); ++y) {
      const std::uint8_t* in = view.row(row * k_block + y);
      for (std::size_t x = 0; x < width; ++x) low[x] = std::min(low[x], in[x]);
      for (std::size_t x = 0; x < width; ++x) high[x] = std::max(high[x], in[x]);
    }
    for (int column = 0; column < mask.columns; ++column) {
      const auto first = static_cast<std::ptrdiff_t>(column) * k_block;
      const std::ptrdiff_t end = std::min<std::ptrdiff_t>(first + k_block, view.width_px);
      const std::size_t here = mask.index(column, row);
      found.smallest[here] = *std::min_element(low.begin() + first, low.begin() + end);
      found.largest[here] = *std::max_element(high.begin() + first, high.begin() + end);
    }
  }
  return found;
}

template <typename Act>
void for_neighbours(const BlockMask& mask, int column, int row, Act act) {
  for (int y = std::max(0, row - 1); y <= std::min(mask.rows - 1, row + 1); ++y)
    for (int x = std::max(0, column - 1); x <= std::min(mask.columns - 1, column + 1); ++x) act(mask.index(x, y));
}

}  // namespace

Pyramid::Pyramid(const GreyView& picture, int levels) : base_{picture} {
  for (int i = 1; i < levels; ++i) {
    const GreyView above = level(i - 1);
    if (above.width_px < 32 || above.height_px < 32) break;
    halves_.push_back(halved(above));
  }
}

GreyView Pyramid::level(int index) const {
  return index == 0 ? base_ : halves_[static_cast<std::size_t>(index) - 1].view();
}

BlockMask find_print(const GreyView& view) {
  BlockMask mask;
  mask.columns = (view.width_px + BlockMask::k_block_px - 1) / BlockMask::k_block_px;
  mask.rows = (view.height_px + BlockMask::k_block_px - 1) / BlockMask::k_block_px;
  mask.contrast.assign(static_cast<std::size_t>(mask.columns) * static_cast<std::size_t>(mask.rows), 0);
  mask.marked = mask.contrast;
  if (mask.contrast.empty()) return mask;
  const Extremes extremes = block_extremes(view, mask);
  std::vector<std::uint8_t> print(mask.contrast.size(), 0);
  for (int row = 0; row < mask.rows; ++row) {
    for (int column = 0; column < mask.columns; ++column) {
      int low = 255;
      int high = 0;
      for_neighbours(mask, column, row, [&](std::size_t i) {
        low = std::min<int>(low, extremes.smallest[i]);
        high = std::max<int>(high, extremes.largest[i]);
      });
      const std::size_t here = mask.index(column, row);
      mask.contrast[here] = static_cast<std::uint8_t>(high - low);
      const int own = extremes.largest[here] - extremes.smallest[here];
      print[here] = own >= k_least_contrast && own >= k_least_contrast_share * extremes.largest[here] ? 1 : 0;
    }
  }
  for (int row = 0; row < mask.rows; ++row)
    for (int column = 0; column < mask.columns; ++column)
      if (print[mask.index(column, row)] != 0)
        for_neighbours(mask, column, row, [&](std::size_t i) { mask.marked[i] = 1; });
  return mask;
}

}  // namespace sherdmark::label_text
