#include "scan/block_threshold.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <random>
#include <vector>

namespace sherdmark {
namespace {

// Dark and light patches, edges and noise: whatever a rule by blocks may meet.
GreyPicture patchwork(int width_px, int height_px, unsigned seed) {
  std::minstd_rand random{seed};
  GreyPicture picture{width_px, height_px};
  std::array<int, 64> tones{};
  for (int& tone : tones) tone = static_cast<int>(random() % 256);
  for (int y = 0; y < height_px; ++y)
    for (int x = 0; x < width_px; ++x) {
      const int tone = tones[static_cast<std::size_t>((y / 23 * 7 + x / 31) % 64)];
      const int noise = x > width_px / 2 ? static_cast<int>(random() % 40) - 20 : 0;
      picture.row(y)[x] = static_cast<std::uint8_t>(std::clamp(tone + noise, 0, 255));
    }
  return picture;
}

// The rule as its description says it, block by block and pixel by pixel.
class PlainRule {
 public:
  explicit PlainRule(const GreyPicture& in)
      : in_{in}, columns_{(in.width_px() + 7) / 8}, rows_{(in.height_px() + 7) / 8} {
    points_.resize(static_cast<std::size_t>(columns_ * rows_));
    for (int row = 0; row < rows_; ++row)
      for (int column = 0; column < columns_; ++column) point(column, row) = black_point(column, row);
  }

  [[nodiscard]] GreyPicture picture() {
    GreyPicture out{in_.width_px(), in_.height_px()};
    for (int row = 0; row < rows_; ++row)
      for (int column = 0; column < columns_; ++column) {
        int sum = 0;
        for (int y = -2; y <= 2; ++y)
          for (int x = -2; x <= 2; ++x)
            sum += point(std::clamp(column, 2, columns_ - 3) + x, std::clamp(row, 2, rows_ - 3) + y);
        for (int y = top(row); y < top(row) + 8; ++y)
          for (int x = left(column); x < left(column) + 8; ++x) out.row(y)[x] = in_.row(y)[x] <= sum / 25 ? 0 : 255;
      }
    return out;
  }

 private:
  int& point(int column, int row) { return points_[static_cast<std::size_t>(row * columns_ + column)]; }
  [[nodiscard]] int left(int column) const { return std::min(column * 8, in_.width_px() - 8); }
  [[nodiscard]] int top(int row) const { return std::min(row * 8, in_.height_px() - 8); }

  int black_point(int column, int row) {
    int sum = 0, darkest = 255, lightest = 0;
    for (int y = top(row); y < top(row) + 8; ++y)
      for (int x = left(column); x < left(column) + 8; ++x) {
        const int pixel = in_.row(y)[x];
        sum += pixel;
        darkest = std::min(darkest, pixel);
        lightest = std::max(lightest, pixel);
      }
    if (lightest - darkest > 24) return sum / 64;
    if (row == 0 || column == 0) return darkest / 2;
    const int before = (point(column, row - 1) + 2 * point(column - 1, row) + point(column - 1, row - 1)) / 4;
    return darkest < before ? before : darkest / 2;
  }

  const GreyPicture& in_;
  int columns_, rows_;
  std::vector<int> points_;
};

bool same(const GreyPicture& a, const GreyPicture& b) {
  if (a.width_px() != b.width_px() || a.height_px() != b.height_px()) return false;
  for (int y = 0; y < a.height_px(); ++y)
    if (!std::equal(a.row(y), a.row(y) + a.width_px(), b.row(y))) return false;
  return true;
}

TEST(BlockThreshold, is_what_the_plain_rule_gives_at_every_size) {
  unsigned seed = 1;
  for (const auto& [width, height] : {std::pair{40, 40}, {41, 47}, {64, 40}, {200, 133}, {333, 257}, {1336, 999}}) {
    const GreyPicture picture = patchwork(width, height, seed++);
    EXPECT_TRUE(same(threshold_by_blocks(picture.view()), PlainRule{picture}.picture())) << width << " × " << height;
  }
}

TEST(BlockThreshold, takes_a_part_of_a_larger_picture) {
  const GreyPicture whole = patchwork(300, 200, 9);
  GreyPicture part{101, 90};
  for (int y = 0; y < 90; ++y) std::copy_n(whole.row(y + 13) + 7, 101, part.row(y));
  EXPECT_TRUE(same(threshold_by_blocks(whole.view().crop(7, 13, 101, 90)), PlainRule{part}.picture()));
}

TEST(BlockThreshold, of_a_picture_with_too_few_blocks_is_empty) {
  EXPECT_TRUE(threshold_by_blocks(patchwork(39, 400, 3).view()).empty());
  EXPECT_TRUE(threshold_by_blocks(patchwork(400, 39, 3).view()).empty());
}

}  // namespace
}  // namespace sherdmark
