// The head of a bag label or tag, seen by itself: the large number in bold type over a thin line. Where its code lies
// outside the picture or under something, nothing else says that one lies there.
#pragma once

#include <string_view>

#include "sherdmark/scan/label_text.h"

namespace sherdmark {

// A text reading that is not sure, for this reason, is no artifact label but such a head; whether it belongs to a code
// that was read is for others to say. Its corners are the print's, from the line up.
inline constexpr std::string_view k_carrier_head = "the large print of a bag label or tag";
[[nodiscard]] inline bool is_carrier_head(const TextReading& text) { return text.why_not == k_carrier_head; }

}  // namespace sherdmark
