// One pass of the third-party reader over one picture; private to the layer. ZXing-cpp lives behind this header.
#pragma once

#include <vector>

#include "sherdmark/base/picture.h"
#include "sherdmark/scan/codes.h"

namespace sherdmark {

enum class Binarizer { local_average, global_histogram, fixed_threshold };

struct ReaderPass {
  Binarizer binarizer = Binarizer::local_average;
  bool harder = true;       // every row and column is looked at, not only some
  bool rotate = true;       // also turned by 90°
  bool downscale = true;    // also at a third of the size, when large
  bool all_formats = true;  // false: QR, Micro QR and Data Matrix
};

// Everything it reads, in pixels of the picture given. For a fixed threshold the picture is two-tone. A crowded picture
// (crowded_view.h) is read in parts that overlap, where the same symbol may be read twice; parts that are crowded
// however small are not read.
[[nodiscard]] std::vector<CodeReading> read_once(const GreyView& picture, const ReaderPass& pass);

// A picture that holds nothing but one upright symbol, drawn clean. Its corners are not found.
[[nodiscard]] std::vector<CodeReading> read_clean(const GreyView& picture, SymbolFormat format);

}  // namespace sherdmark
