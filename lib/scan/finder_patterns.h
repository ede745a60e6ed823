// Finder patterns of QR and Micro QR codes (ISO/IEC 18004: squares of 7, 5 and 3 modules, one in the other), found by
// their look alone: they tell that a code is there though it cannot be read. Private to the layer.
#pragma once

#include <vector>

#include "sherdmark/base/picture.h"

namespace sherdmark {

struct FinderPattern {
  PointF middle;         // in pixels of the picture given
  double module_px = 0;  // mean of all directions, as wide as a module seen straight on or larger by up to a third
};

// `two_tone`: 0 dark, 255 light. A pattern is one whose squares are passed in the ratio 1:1:3:1:1 along at least seven
// of eight lines through its middle, a small one along all; squares one in the other are cut so by every line, however
// they are turned.
[[nodiscard]] std::vector<FinderPattern> find_finder_patterns(const GreyView& two_tone);

}  // namespace sherdmark
