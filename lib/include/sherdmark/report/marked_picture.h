// A photograph with what was read drawn on it, and the verdict above it. Readable without colour: every verdict has a
// sign of its own shape and its word; what was read surely is outlined solid, what was not is dashed.
#pragma once

#include <string>

#include "sherdmark/base/files.h"
#include "sherdmark/base/picture.h"
#include "sherdmark/verify/judge.h"

namespace sherdmark {

// Draws the readings of (image, page) and puts a banner above the photograph: the result is taller than `photograph`,
// nothing of it is covered by the banner. Throws environment_error when the banner's font is missing.
[[nodiscard]] ColourPicture mark_picture(const ColourPicture& photograph, const SetVerdict& verdict,
                                         const std::string& image, int page);

// Baseline JPEG without any metadata. `quality` 1 … 100. Throws data_error for an empty or too large picture.
void write_jpeg(const ColourPicture& picture, int quality, const ByteSink& sink);

}  // namespace sherdmark
