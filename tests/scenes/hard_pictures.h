// Pictures on which the search for labels or codes has more to look at than any time allows.
#pragma once

#include "sherdmark/base/picture.h"

namespace sherdmark::scenes {

// Nothing but short dark strokes with clear paper beside them and marks above: each may be a label's rule.
[[nodiscard]] GreyPicture full_of_rules(int width_px, int height_px);

// Patches of dark and light modules without any order in them: each may be a code.
[[nodiscard]] GreyPicture full_of_patches(int width_px, int height_px);

}  // namespace sherdmark::scenes
