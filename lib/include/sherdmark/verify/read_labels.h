// The first half of a check: bytes of an image file → the codes and label texts on each of its pages.
// Blind to the ledger. Called by the tool and by tests before build_set.
#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <string>
#include <vector>

#include "sherdmark/scan/image.h"
#include "sherdmark/scan/label_text.h"
#include "sherdmark/verify/readings.h"

namespace sherdmark {

// One for each page; marks that cannot be artifact labels by their place or size are set aside
// (lib/verify/sift_texts.h). Throws data_error for bytes that are no picture. Thread-safe: `reader` may serve many at
// once. With `with_grades` the print quality of each code is estimated as well, which takes its time. `threads` work on
// one page; what is read does not depend on how many they are.
[[nodiscard]] std::vector<ImageReadings> read_labels(std::span<const std::byte> bytes, const std::string& file_name,
                                                     const LabelTextReader& reader, const HouseStandard& standard,
                                                     const ImageLimits& limits = {}, bool with_grades = false,
                                                     unsigned threads = 1);

// The same of pages that were decoded before, with a reader that may still be in the making: it is asked for by the
// thread that needs it, when it needs it. What asking throws is thrown here.
using AskReader = std::function<const LabelTextReader&()>;
[[nodiscard]] std::vector<ImageReadings> read_labels(const std::vector<ImagePage>& pages, const std::string& file_name,
                                                     const AskReader& reader, const HouseStandard& standard,
                                                     bool with_grades, unsigned threads);

}  // namespace sherdmark
