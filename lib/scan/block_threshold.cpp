#include "scan/block_threshold.h"

#include <algorithm>
#include <cstdint>
#include <cstring>
#include <vector>

#include "sherdmark/base/wide.h"

namespace sherdmark {
namespace {

constexpr int k_block_px = 8;
constexpr int k_round = 2;       // blocks on each side of one
constexpr int k_most_even = 24;  // between the darkest and the lightest pixel of an even block

// Down the columns of a row of blocks.
SHERDMARK_WIDE void look_down(const std::uint8_t* __restrict in, std::uint16_t* __restrict sum,
                              std::uint8_t* __restrict low, std::uint8_t* __restrict high, std::size_t count) {
  for (std::size_t x = 0; x < count; ++x) {
    sum[x] = static_cast<std::uint16_t>(sum[x] + in[x]);
    low[x] = std::min(low[x], in[x]);
    high[x] = std::max(high[x], in[x]);
  }
}

SHERDMARK_WIDE void apply_row(const std::uint8_t* __restrict in, const std::uint8_t* __restrict threshold,
                              std::uint8_t* __restrict out, std::size_t count) {
  for (std::size_t x = 0; x < count; ++x) out[x] = in[x] <= threshold[x] ? std::uint8_t{0} : std::uint8_t{255};
}

// One number a block, of blocks that cover the picture: the last of a row or column reaches back over the one before.
class Blocks {
 public:
  explicit Blocks(const GreyView& in)
      : in_{in},
        columns_{(in.width_px + k_block_px - 1) / k_block_px},
        rows_{(in.height_px + k_block_px - 1) / k_block_px},
        black_(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_)) {
    for (int row = 0; row < rows_; ++row) find_black_points(row);
  }

  [[nodiscard]] int rows() const { return rows_; }
  [[nodiscard]] int top(int row) const { return std::min(row * k_block_px, in_.height_px - k_block_px); }

  // The threshold of every pixel in a row of blocks.
  void thresholds(int row, std::vector<std::uint8_t>& out) const {
    const int middle = std::clamp(row, k_round, rows_ - 1 - k_round);
    std::vector<int> down(static_cast<std::size_t>(columns_), 0);
    for (int y = middle - k_round; y <= middle + k_round; ++y)
      for (int x = 0; x < columns_; ++x) down[static_cast<std::size_t>(x)] += black(x, y);
    for (int column = 0; column < columns_; ++column) {
      const int centre = std::clamp(column, k_round, columns_ - 1 - k_round);
      int sum = 0;
      for (int x = centre - k_round; x <= centre + k_round; ++x) sum += down[static_cast<std::size_t>(x)];
      constexpr int k_blocks = (2 * k_round + 1) * (2 * k_round + 1);
      std::memset(out.data() + left(column), sum / k_blocks, k_block_px);
    }
  }

 private:
  [[nodiscard]] int left(int column) const { return std::min(column * k_block_px, in_.width_px - k_block_px); }
  [[nodiscard]] int& black(int column, int row) {
    return black_[static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) +
                  static_cast<std::size_t>(column)];
  }
  [[nodiscard]] int black(int column, int row) const { return const_cast<Blocks&>(*this).black(column, row); }

  void find_black_points(int row) {
    const auto width = static_cast<std::size_t>(in_.width_px);
    std::vector<std::uint16_t> sums(width, 0);
    std::vector<std::uint8_t> low(width, 255), high(width, 0);
    for (int y = 0; y < k_block_px; ++y) look_down(in_.row(top(row) + y), sums.data(), low.data(), high.data(), width);
    for (int column = 0; column < columns_; ++column) {
      const auto from = static_cast<std::ptrdiff_t>(left(column));
      int sum = 0, darkest = 255, lightest = 0;
      for (std::ptrdiff_t x = from; x < from + k_block_px; ++x) {
        sum += sums[static_cast<std::size_t>(x)];
        darkest = std::min<int>(darkest, low[static_cast<std::size_t>(x)]);
        lightest = std::max<int>(lightest, high[static_cast<std::size_t>(x)]);
      }
      black(column, row) = lightest - darkest > k_most_even ? sum / (k_block_px * k_block_px)
                                                            : black_point_of_even(column, row, darkest);
    }
  }

  [[nodiscard]] int black_point_of_even(int column, int row, int darkest) const {
    if (row > 0 && column > 0) {
      const int before = (black(column, row - 1) + 2 * black(column - 1, row) + black(column - 1, row - 1)) / 4;
      if (darkest < before) return before;
    }
    return darkest / 2;
  }

  const GreyView& in_;
  int columns_;
  int rows_;
  std::vector<int> black_;
};

}  // namespace

GreyPicture threshold_by_blocks(const GreyView& in) {
  constexpr int k_least_side = k_block_px * (2 * k_round + 1);
  if (in.width_px < k_least_side || in.height_px < k_least_side) return {};
  const Blocks blocks{in};
  GreyPicture out = GreyPicture::unfilled(in.width_px, in.height_px);
  std::vector<std::uint8_t> thresholds(static_cast<std::size_t>(in.width_px));
  for (int row = 0; row < blocks.rows(); ++row) {
    blocks.thresholds(row, thresholds);
    for (int y = blocks.top(row); y < blocks.top(row) + k_block_px; ++y)
      apply_row(in.row(y), thresholds.data(), out.row(y), thresholds.size());
  }
  return out;
}

}  // namespace sherdmark
