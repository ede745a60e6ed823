#include "scan/label_text_pyramid.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace sherdmark::label_text {
namespace {

// Light enough to be lit paper and dark enough in it to be print; both relative, so that shade does not matter.
constexpr int k_least_contrast = 22;
constexpr double k_least_contrast_share = 0.20;

struct Extremes {
  std::vector<std::uint8_t> smallest;
  std::vector<std::uint8_t> largest;
};

Extremes block_extremes(const GreyView& view, const BlockMask& mask) {
  Extremes found{std::vector<std::uint8_t>(mask.contrast.size(), 255),
                 std::vector<std::uint8_t>(mask.contrast.size(), 0)};
  for (int y = 0; y < mask.rows * mask.block_px; ++y) {
    const std::uint8_t* in = view.row(y);
    std::uint8_t* low = &found.smallest[mask.index(0, y / mask.block_px)];
    std::uint8_t* high = &found.largest[mask.index(0, y / mask.block_px)];
    for (int column = 0; column < mask.columns; ++column, in += mask.block_px) {
      std::uint8_t least = 255;
      std::uint8_t most = 0;
      for (int x = 0; x < mask.block_px; ++x) {
        least = std::min(least, in[x]);
        most = std::max(most, in[x]);
      }
      low[column] = std::min(low[column], least);
      high[column] = std::max(high[column], most);
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

float sample(const GreyView& view, double x, double y) {
  const double left = std::clamp(x - 0.5, 0.0, static_cast<double>(view.width_px - 1));
  const double top = std::clamp(y - 0.5, 0.0, static_cast<double>(view.height_px - 1));
  const int x0 = static_cast<int>(left);
  const int y0 = static_cast<int>(top);
  const int x1 = std::min(x0 + 1, view.width_px - 1);
  const auto fx = static_cast<float>(left - x0);
  const auto fy = static_cast<float>(top - y0);
  const std::uint8_t* upper = view.row(y0);
  const std::uint8_t* lower = view.row(std::min(y0 + 1, view.height_px - 1));
  const float a = static_cast<float>(upper[x0]) + fx * static_cast<float>(upper[x1] - upper[x0]);
  const float b = static_cast<float>(lower[x0]) + fx * static_cast<float>(lower[x1] - lower[x0]);
  return a + fy * (b - a);
}

BlockMask find_print(const GreyView& view, int block_px) {
  BlockMask mask;
  mask.block_px = block_px;
  mask.columns = view.width_px / block_px;
  mask.rows = view.height_px / block_px;
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

std::vector<BlockPart> connected_parts(const BlockMask& mask) {
  std::vector<BlockPart> parts;
  std::vector<std::uint8_t> open = mask.marked;
  std::vector<std::pair<int, int>> stack;
  for (int row = 0; row < mask.rows; ++row) {
    for (int column = 0; column < mask.columns; ++column) {
      if (open[mask.index(column, row)] == 0) continue;
      BlockPart part{column, row, column + 1, row + 1, {}};
      open[mask.index(column, row)] = 0;
      stack.emplace_back(column, row);
      while (!stack.empty()) {
        const auto [x, y] = stack.back();
        stack.pop_back();
        part.left = std::min(part.left, x);
        part.top = std::min(part.top, y);
        part.right = std::max(part.right, x + 1);
        part.bottom = std::max(part.bottom, y + 1);
        part.blocks.emplace_back(x, y);
        for_neighbours(mask, x, y, [&](std::size_t i) {
          if (open[i] == 0) return;
          open[i] = 0;
          stack.emplace_back(static_cast<int>(i) % mask.columns, static_cast<int>(i) / mask.columns);
        });
      }
      std::sort(part.blocks.begin(), part.blocks.end(), [](const auto& a, const auto& b) {
        return a.second != b.second ? a.second < b.second : a.first < b.first;
      });
      parts.push_back(std::move(part));
    }
  }
  return parts;
}

}  // namespace sherdmark::label_text
