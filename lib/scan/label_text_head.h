// The head of a bag label or tag in a picture, by the line under its large print. Private to the reader of artifact
// labels, whose search finds the line.
#pragma once

#include <optional>

#include "scan/label_text_pyramid.h"
#include "scan/label_text_rules.h"

namespace sherdmark::label_text {

// The print from the line up, if bold type as large as a carrier's number stands over it, and clear paper lies between
// and below, as the design of carriers has it. Other lines have ticks, bars or writing against them.
[[nodiscard]] std::optional<Corners> look_for_head(const GreyView& picture, const RuleCandidate& rule,
                                                   double px_per_mm);

}  // namespace sherdmark::label_text
