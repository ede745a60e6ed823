// The large number of a bag label, tag, box or shelf label, slip or card: its size of type and, where the label is too
// narrow for it, its lines.
//
// One line at the design's size; else on one line in quarter points down to the design's share; else broken between
// its parts, the fewest lines, likewise; else the same two down to k_least_number_pt. What does not fit then is
// refused.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/standard/house_standard.h"
#include "sherdmark/type/typeface.h"

namespace sherdmark {

// Capitals of 2.3 mm: about 16 minutes of arc at 500 mm, arm's length (ISO 9241-3 asks for 16 at least).
inline constexpr double k_least_number_pt = 9.0;

struct CarrierNumber {
  double size_pt = 0;
  std::vector<std::string> lines;
  double pitch_mm = 0;     // baseline to baseline
  double too_wide_mm = 0;  // over 0: does not fit even at the smallest size, by so much
};

// The number cut at every place where a line may end: for a number of the standard's own schemes between its parts, for
// any other text behind a space, slash, hyphen, full stop, comma or colon. Nothing is left out.
[[nodiscard]] std::vector<std::string> number_pieces(const std::string& number, const HouseStandard& standard);

[[nodiscard]] CarrierNumber fit_carrier_number(const std::vector<std::string>& pieces, const Typeface& face,
                                               double wanted_pt, double room_mm);

}  // namespace sherdmark
