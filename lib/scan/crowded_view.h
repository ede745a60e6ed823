// Views that the third-party reader must not be given: it tries every three of the squares it sees as one QR code. With
// thirty codes side by side it reads half of them, with three hundred it takes seconds and reads few, and a view full of
// squares keeps it busy for hours. Private to the layer.
#pragma once

#include "sherdmark/base/picture.h"

namespace sherdmark {

// More finder patterns (ISO/IEC 18004) than twenty QR codes have. `two_tone`: 0 dark, 255 light. A pattern here is what
// is passed in the ratio 1:1:3:1:1 in four directions, within half a module and half a pixel: no more than the reader
// asks.
[[nodiscard]] bool is_crowded(const GreyView& two_tone);

}  // namespace sherdmark
