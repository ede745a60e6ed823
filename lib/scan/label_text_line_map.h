// The pixels of a picture on the middles of its thin dark lines. Private to the reader of artifact labels.
#pragma once

#include <bit>
#include <cstdint>
#include <vector>

#include "scan/label_text_pyramid.h"

namespace sherdmark::label_text {

// A pixel on the middle of a dark line: where the second derivative across is largest (after Steger 1998, "An
// unbiased detector of curvilinear structures").
struct LinePixel {
  float x = 0;  // in pixels of the picture, outer-corner coordinates
  float y = 0;
  float along_x = 0;  // unit vector along the line
  float along_y = 0;
  float strength = 0;  // second derivative across the line
};

class SmoothRows;

// The line pixels of all blocks of `print` that are marked: those of a block one after the other, row by row. The
// picture is not needed afterwards.
class LineMap {
 public:
  LineMap(const GreyView& view, BlockMask print);

  [[nodiscard]] const BlockMask& print() const { return print_; }
  [[nodiscard]] const std::vector<LinePixel>& pixels() const { return pixels_; }
  // Of the line pixel found here; -1: none.
  [[nodiscard]] int id(int x, int y) const {
    if (x < 0 || y < 0) return -1;
    const int column = x / BlockMask::k_block_px, row = y / BlockMask::k_block_px;
    if (column >= print_.columns || row >= print_.rows) return -1;
    const Block& block = blocks_[print_.index(column, row)];
    const std::uint64_t here = bit(x, y);
    return (block.found & here) == 0 ? -1 : block.first + std::popcount(block.found & (here - 1));
  }
  // For each line pixel 1 where `mask`, of the same blocks, does not mark its block, else 0.
  [[nodiscard]] std::vector<std::uint8_t> outside(const BlockMask& mask) const;

 private:
  struct Block {
    std::uint64_t found = 0;  // a bit for each place
    int first = 0;            // line pixel of the block
  };
  static_assert(BlockMask::k_block_px * BlockMask::k_block_px == 64, "a bit for each place of a block");

  static std::uint64_t bit(int x, int y) {
    return std::uint64_t{1} << (static_cast<unsigned>(y) % BlockMask::k_block_px * BlockMask::k_block_px +
                                static_cast<unsigned>(x) % BlockMask::k_block_px);
  }

  void find_in_run(const GreyView& view, int first, int end, int row);
  void find_in_row(const SmoothRows& grey, const std::int16_t* laplacian, int left, int top, int from, int y,
                   float least);
  void add_if_line(const std::int16_t* up, const std::int16_t* mid, const std::int16_t* down, int x, int y,
                   float least);

  BlockMask print_;
  int width_;
  int height_;
  std::vector<Block> blocks_;  // as in the mask
  std::vector<LinePixel> pixels_;
  std::vector<std::int16_t> laplacian_;  // of the run in hand, row by row
};

}  // namespace sherdmark::label_text
