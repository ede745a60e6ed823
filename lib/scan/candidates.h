// Where in a picture a code could be: places as busy across as down, of strong contrast. Private to the layer.
#pragma once

#include <vector>

#include "sherdmark/base/picture.h"

namespace sherdmark {

struct CodeCandidate {
  int x = 0, y = 0, width_px = 0, height_px = 0;  // in pixels of the picture given
  double strength = 0;                            // larger looks more like a code
};

// Strongest first. Text, weave and gravel can be among them: a candidate costs time, nothing else.
// `small`: a copy made by shrunk() already, used when it is of the size that is looked at.
[[nodiscard]] std::vector<CodeCandidate> find_candidates(const GreyView& picture, const GreyPicture* small = nullptr);

}  // namespace sherdmark
