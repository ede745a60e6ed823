// Grey pictures at halved scales, sampling between pixels, and the blocks of a picture where print may stand.
// Private to the reader of artifact labels.
#pragma once

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

// Bilinear, in outer-corner coordinates; outside the picture the nearest pixel. `view` must not be empty.
[[nodiscard]] float sample(const GreyView& view, double x, double y);

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
