// Symbols that are not flat, read by a grid of our own laid over them (module_grid.h) and then by the third-party
// reader from a clean redrawing. The dearest rungs of the ladder. Private to the layer.
#pragma once

#include <vector>

#include "sherdmark/base/picture.h"
#include "sherdmark/scan/codes.h"

namespace sherdmark {

// A place that holds one Data Matrix symbol, or one QR symbol, and little else.
[[nodiscard]] std::vector<CodeReading> read_bent_data_matrix(const GreyView& place);
[[nodiscard]] std::vector<CodeReading> read_bent_qr(const GreyView& place);

// Grey level that parts dark from light best (Otsu's rule).
[[nodiscard]] double best_threshold(const GreyView& picture);

}  // namespace sherdmark
