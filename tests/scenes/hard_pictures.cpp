#include "scenes/hard_pictures.h"

#include <algorithm>

#include "sherdmark/base/random.h"

namespace sherdmark::scenes {

GreyPicture full_of_rules(int width_px, int height_px) {
  GreyPicture picture{width_px, height_px, 215};
  SeededRandom random{17};
  for (int y = 12; y < picture.height_px() - 30; y += 30)
    for (int x = 10; x < picture.width_px() - 130; x += 130) {
      const int length = 60 + static_cast<int>(random.below(60));
      for (int i = 0; i < length; ++i) picture.row(y + 20)[x + i] = picture.row(y + 21)[x + i] = 30;
      for (int mark = 0; mark < length / 10; ++mark)
        for (int i = 0; i < 14; ++i) picture.row(y + i)[x + mark * 10 + static_cast<int>(random.below(8))] = 30;
    }
  return picture;
}

GreyPicture full_of_patches(int width_px, int height_px) {
  constexpr int k_module_px = 6, k_modules = 40, k_apart_px = 120;
  constexpr int k_side_px = k_module_px * k_modules;
  GreyPicture picture{width_px, height_px, 215};
  SeededRandom random{23};
  for (int top = k_apart_px; top + k_side_px < height_px; top += k_side_px + k_apart_px)
    for (int left = k_apart_px; left + k_side_px < width_px; left += k_side_px + k_apart_px)
      for (int module = 0; module < k_modules * k_modules; ++module) {
        if (random.below(2) == 0) continue;
        const int x = left + module % k_modules * k_module_px, y = top + module / k_modules * k_module_px;
        for (int row = y; row < y + k_module_px; ++row)
          std::fill_n(picture.row(row) + x, k_module_px, std::uint8_t{30});
      }
  return picture;
}

}  // namespace sherdmark::scenes
