// Black and white by blocks, for the one look at a whole picture that every photograph gets. Private to the layer.
#pragma once

#include "sherdmark/base/picture.h"

namespace sherdmark {

// 0 where a pixel is not lighter than the mean of the black points of the 5 × 5 blocks (of 8 × 8 pixels) round its own,
// else 255. The black point of a block is its mean, where it holds dark and light; where it is even it is taken for
// paper, unless the blocks before it say that it lies inside something dark. It is the rule of the reader's own local
// average (ZXing-cpp, HybridBinarizer), worked out for many pixels at once: there it took half of the whole look.
// A picture of less than 40 pixels a side has too few blocks, and comes back empty.
[[nodiscard]] GreyPicture threshold_by_blocks(const GreyView& in);

}  // namespace sherdmark
