#include "scan/label_text_pyramid.h"

#include <algorithm>

#include "sherdmark/base/wide.h"

namespace sherdmark::label_text {
namespace {

// Light enough to be lit paper and dark enough in it to be print; both relative, so that shade does not matter.
constexpr int k_least_contrast = 22;
constexpr double k_least_contrast_share = 0.20;

struct Extremes {
  std::vector<std::uint8_t> smallest;
  std::vector<std::uint8_t> largest;
};

// The smaller (the larger) of each of `count` pairs.
SHERDMARK_WIDE void smaller_of_pairs(const std::uint8_t* __restrict in, std::uint8_t* __restrict out,
                                     std::size_t count) {
  for (std::size_t i = 0; i < count; ++i) out[i] = std::min(in[2 * i], in[2 * i + 1]);
}
SHERDMARK_WIDE void larger_of_pairs(const std::uint8_t* __restrict in, std::uint8_t* __restrict out,
                                    std::size_t count) {
  for (std::size_t i = 0; i < count; ++i) out[i] = std::max(in[2 * i], in[2 * i + 1]);
}

SHERDMARK_WIDE void take_in_row(const std::uint8_t* __restrict in, std::uint8_t* __restrict low,
                                std::uint8_t* __restrict high, std::size_t width) {
  for (std::size_t x = 0; x < width; ++x) {
    low[x] = std::min(low[x], in[x]);
    high[x] = std::max(high[x], in[x]);
  }
}

// Of every block, those that the picture's border cuts as well; a row of blocks at a time, down first and then pair by
// pair across, so that the machine can do many columns at once.
Extremes block_extremes(const GreyView& view, const BlockMask& mask) {
  constexpr int k_block = BlockMask::k_block_px;
  static_assert(k_block == 8, "three times in pairs");
  Extremes found{std::vector<std::uint8_t>(mask.contrast.size()), std::vector<std::uint8_t>(mask.contrast.size())};
  const auto width = static_cast<std::size_t>(view.width_px), columns = static_cast<std::size_t>(mask.columns);
  std::vector<std::uint8_t> low(columns * k_block), high(columns * k_block), half(columns * k_block / 2);
  for (int row = 0; row < mask.rows; ++row) {
    std::fill(low.begin(), low.end(), std::uint8_t{255});
    std::fill(high.begin(), high.end(), std::uint8_t{0});
    for (int y = 0; y < std::min(k_block, view.height_px - row * k_block); ++y)
      take_in_row(view.row(row * k_block + y), low.data(), high.data(), width);
    smaller_of_pairs(low.data(), half.data(), 4 * columns);
    smaller_of_pairs(half.data(), low.data(), 2 * columns);
    smaller_of_pairs(low.data(), found.smallest.data() + mask.index(0, row), columns);
    larger_of_pairs(high.data(), half.data(), 4 * columns);
    larger_of_pairs(half.data(), high.data(), 2 * columns);
    larger_of_pairs(high.data(), found.largest.data() + mask.index(0, row), columns);
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
