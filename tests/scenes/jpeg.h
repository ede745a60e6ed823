// JPEG out, without metadata.
#pragma once

#include "sherdmark/base/files.h"
#include "sherdmark/base/picture.h"

namespace sherdmark::scenes {

[[nodiscard]] Bytes write_jpeg(const ColourPicture& picture, int quality);

}  // namespace sherdmark::scenes
