// Which of the texts that were reported can be artifact labels in this picture at all. A photograph is full of lines
// with marks above them: scale bars, the large print of bag labels, the back of a rule that was read from its front.
#pragma once

#include "sherdmark/base/picture.h"
#include "sherdmark/standard/house_standard.h"
#include "sherdmark/verify/readings.h"

namespace sherdmark {

// The codes of bag labels and tags say how large a millimetre is, where their paper ends and how dark print is here.
// - A text not read surely, on the slip of paper of a label that was: that label seen from its other side. Dropped.
// - On the paper of a bag label or tag, and not of an artifact label's size: the carrier's own print, whatever it
// reads.
//   Dropped; on that paper, of the size, but not read surely: set aside.
// - Elsewhere and not read surely: set aside when it is no print at all (too little contrast), or mostly dark and not
// of
//   an artifact label's size. Anything that may be print on light paper stays.
// - Read surely, but not of the size: kept, and no longer sure.
void sift_texts(ImageReadings& picture, const GreyView& pixels, const HouseStandard& standard);

}  // namespace sherdmark
