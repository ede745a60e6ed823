// Which of the texts that were reported can be artifact labels in this picture at all. A photograph is full of lines
// with marks above them: scale bars, the large print of bag labels, the back of a rule that was read from its front.
#pragma once

#include "sherdmark/base/picture.h"
#include "sherdmark/standard/house_standard.h"
#include "sherdmark/verify/readings.h"

namespace sherdmark {

// The codes of bag labels and tags say how large a millimetre is, where their paper, their code and their large print
// are, and how dark print is here.
// - A text not read surely whose rule lies within the text of a label that was read: that label seen from its other
//   side. Dropped.
// - Where a carrier's large print stands, and not of an artifact label's size; where its code stands, and not like a
//   label either: the carrier's own print, whatever it reads. Dropped. Everything else on a carrier may be an artifact
//   label that lies on it, and stays.
// - Not read surely, where a carrier's code stands, and the picture shows just the modules that this code has
//   there: the code itself. Dropped.
// - Not read surely, but on what looks like a label's rule by its thickness in mm: stays, wherever it lies.
// - A line that looks like a rule, without a text that was made out, and not as thick as ours: set aside.
// - Beside the carriers and not read surely: set aside when it is no print at all (too little contrast), or mostly dark
//   and not of an artifact label's size. Anything that may be print on light paper stays.
// - Read surely, but not of the size: kept, and no longer sure.
// - The large print of a carrier: dropped; unless it belongs to a code that was read or seen, about where its code
//   would stand is put to the codes that were not seen.
// - A code that was seen and not read is dropped where it can only be the Micro QR code of a label whose text is there.
void sift_texts(ImageReadings& picture, const GreyView& pixels, const HouseStandard& standard);

// What the bag labels and tags that were read show before texts are searched: the scale at each, in pixels a
// millimetre; and, masked, the inside of each code of which the picture shows every module, so that nothing lies on it.
[[nodiscard]] ShownByCodes shown_by_codes(const std::vector<CodeReading>& codes, const GreyView& pixels,
                                          const HouseStandard& standard);

}  // namespace sherdmark
