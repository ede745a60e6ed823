// Which of the texts that were reported can be artifact labels in this picture at all. A photograph is full of lines
// with marks above them: scale bars, the large print of bag labels, the back of a rule that was read from its front.
#pragma once

#include "sherdmark/standard/house_standard.h"
#include "sherdmark/verify/readings.h"

namespace sherdmark {

// The codes of bag labels and tags say how large a millimetre is and where their paper ends.
// - A text beside a surely read label, on the same slip of paper, is that label seen from its other side: dropped.
// - On the paper of a bag label or tag, and of another size than an artifact label: the carrier's own print, dropped,
//   whatever it reads.
// - On that paper and not read surely, or elsewhere of a size that no artifact label has here: moved to `set_aside`
//   when it was not read surely; kept but no longer sure when it was.
void sift_texts(ImageReadings& picture, const HouseStandard& standard);

}  // namespace sherdmark
