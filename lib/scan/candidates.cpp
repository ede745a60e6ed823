#include "scan/candidates.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <utility>

#include "scan/picture_filters.h"

namespace sherdmark {
namespace {

constexpr int k_block_px = 8;
constexpr double k_most_working_pixels = 1.5e6;
constexpr int k_least_edge = 10;         // mean step between neighbours, in grey levels
constexpr int k_most_unevenness = 3;     // busier one way than the other by this factor is not a matrix code
constexpr double k_least_filled = 0.35;  // of the surrounding rectangle
constexpr double k_longest_shape = 5;    // oblong Data Matrix symbols are up to 4 : 1

// Blocks of the picture that are busy both ways.
class BlockMap {
 public:
  explicit BlockMap(const GreyView& picture)
      : columns_(picture.width_px / k_block_px), rows_(picture.height_px / k_block_px) {
    strength_.resize(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_));
    for (int row = 0; row < rows_; ++row)
      for (int column = 0; column < columns_; ++column) at(column, row) = busy(picture, column, row);
  }

  [[nodiscard]] int columns() const { return columns_; }
  [[nodiscard]] int rows() const { return rows_; }
  [[nodiscard]] int& at(int column, int row) {
    return strength_[static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) +
                     static_cast<std::size_t>(column)];
  }

 private:
  static int busy(const GreyView& picture, int column, int row) {
    int across = 0;
    int down = 0;
    const int left = column * k_block_px;
    const int right = std::min(left + k_block_px, picture.width_px - 1);
    const int bottom = std::min((row + 1) * k_block_px, picture.height_px - 1);
    for (int y = row * k_block_px; y < bottom; ++y) {
      const std::uint8_t* here = picture.row(y);
      const std::uint8_t* below = picture.row(y + 1);
      for (int x = left; x < right; ++x) {
        across += std::abs(here[x + 1] - here[x]);
        down += std::abs(below[x] - here[x]);
      }
    }
    const int weaker = std::min(across, down) / (k_block_px * k_block_px);
    const int stronger = std::max(across, down) / (k_block_px * k_block_px);
    return weaker * k_most_unevenness < stronger || weaker + stronger < k_least_edge ? 0 : weaker + stronger;
  }

  int columns_;
  int rows_;
  std::vector<int> strength_;
};

struct Patch {
  int left, top, right, bottom;  // in blocks, right and bottom included
  int blocks = 0;
  double strength = 0;
};

// The connected busy blocks round one of them, which are taken off the map. Gaps of one block do not part them.
Patch take_patch(BlockMap& map, int column, int row) {
  constexpr int k_reach = 2;
  Patch patch{column, row, column, row, 0, 0};
  std::vector<std::pair<int, int>> open{{column, row}};
  patch.strength += std::exchange(map.at(column, row), 0);
  while (!open.empty()) {
    const auto [c, r] = open.back();
    open.pop_back();
    ++patch.blocks;
    patch.left = std::min(patch.left, c), patch.right = std::max(patch.right, c);
    patch.top = std::min(patch.top, r), patch.bottom = std::max(patch.bottom, r);
    for (int nr = std::max(r - k_reach, 0); nr <= std::min(r + k_reach, map.rows() - 1); ++nr) {
      for (int nc = std::max(c - k_reach, 0); nc <= std::min(c + k_reach, map.columns() - 1); ++nc) {
        if (map.at(nc, nr) == 0) continue;
        patch.strength += std::exchange(map.at(nc, nr), 0);
        open.emplace_back(nc, nr);
      }
    }
  }
  return patch;
}

bool code_like(const Patch& patch) {
  const double across = patch.right - patch.left + 1;
  const double down = patch.bottom - patch.top + 1;
  return std::max(across, down) <= k_longest_shape * std::min(across, down) &&
         patch.blocks >= k_least_filled * across * down;
}

}  // namespace

std::vector<CodeCandidate> find_candidates(const GreyView& picture, const GreyPicture* small) {
  const double pixels = static_cast<double>(picture.width_px) * picture.height_px;
  const int factor = std::max(1, static_cast<int>(std::ceil(std::sqrt(pixels / k_most_working_pixels))));
  GreyPicture made;
  GreyView view = picture;
  if (factor > 1 && small != nullptr && small->width_px() == picture.width_px / factor) {
    view = small->view();
  } else if (factor > 1) {
    made = shrunk(picture, factor).picture;
    view = made.view();
  }
  BlockMap map{view};
  std::vector<CodeCandidate> found;
  for (int row = 0; row < map.rows(); ++row) {
    for (int column = 0; column < map.columns(); ++column) {
      if (map.at(column, row) == 0) continue;
      const Patch patch = take_patch(map, column, row);
      if (!code_like(patch)) continue;
      const int unit = k_block_px * factor;
      found.push_back({patch.left * unit, patch.top * unit, (patch.right - patch.left + 1) * unit,
                       (patch.bottom - patch.top + 1) * unit, patch.strength});
    }
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const CodeCandidate& a, const CodeCandidate& b) { return a.strength > b.strength; });
  return found;
}

}  // namespace sherdmark
