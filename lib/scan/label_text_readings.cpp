#include "scan/label_text_readings.h"

#include <algorithm>
#include <string_view>
#include <utility>

namespace sherdmark::label_text {
namespace {

constexpr double k_same_rule_ratio = 1.2;

bool same_place(const TextReading& a, const TextReading& b) {
  return contains(b.corners, centre_of(a.corners)) || contains(a.corners, centre_of(b.corners));
}

// Where two labels lie close together, the text of one stands between two rules, its own and, upside down, its
// neighbour's: what is not read surely on the one must not hide what is seen on the other.
bool same_way_up(const TextReading& a, const TextReading& b) {
  const auto up = [](const TextReading& text) {
    return PointF{text.corners[0].x - text.corners[3].x, text.corners[0].y - text.corners[3].y};
  };
  return up(a).x * up(b).x + up(a).y * up(b).y > 0;
}

constexpr std::string_view k_two_ways = "it can be read in two ways";

// Two readings of one place cannot both stand. Equal ones merge, others are nothing anybody should believe.
void add_sure(std::vector<TextReading>& readings, TextReading reading) {
  for (TextReading& known : readings) {
    if (!same_place(known, reading) || (!known.sure && known.why_not != k_two_ways)) continue;
    if (known.sure && known.number != reading.number) {
      known.sure = false;
      known.why_not = k_two_ways;
    }
    return;
  }
  std::erase_if(readings,
                [&](const TextReading& known) { return same_place(known, reading) && !same_way_up(known, reading); });
  const auto same = std::find_if(readings.begin(), readings.end(),
                                 [&](const TextReading& known) { return same_place(known, reading); });
  if (same != readings.end())
    *same = std::move(reading);
  else
    readings.push_back(std::move(reading));
}

}  // namespace

void add_reading(std::vector<TextReading>& readings, TextReading reading) {
  if (reading.sure) return add_sure(readings, std::move(reading));
  for (TextReading& known : readings) {
    if (!same_place(known, reading)) continue;
    if (!known.sure && !same_way_up(known, reading)) continue;
    if (!known.sure && reading.margin > known.margin && known.why_not != k_two_ways) known = std::move(reading);
    return;
  }
  readings.push_back(std::move(reading));
}

void add_sign(std::vector<TextReading>& readings, const RuleSign& sign, const HouseStandard& standard) {
  TextReading seen;
  seen.corners = sign.corners;
  seen.px_per_mm = sign.thickness_px / standard.artifact.rule_mm;
  seen.px_per_mm_of_rule = seen.px_per_mm;
  seen.most_px_per_mm_of_rule = sign.most_thickness_px / standard.artifact.rule_mm;
  seen.why_not = "a label's rule was seen, but not its text";
  for (TextReading& known : readings) {
    if (!same_place(known, seen) || (!known.sure && !same_way_up(known, seen))) continue;
    if (!known.sure && known.px_per_mm_of_rule <= 0) {
      known.px_per_mm_of_rule = seen.px_per_mm_of_rule;
      known.most_px_per_mm_of_rule = seen.most_px_per_mm_of_rule;
    }
    // A line of another size seen at this place may be chance; which one is the label's is for others to say.
    const double ratio = known.sure ? 1 : known.px_per_mm_of_rule / seen.px_per_mm_of_rule;
    if (ratio < k_same_rule_ratio && ratio > 1 / k_same_rule_ratio) return;
  }
  readings.push_back(std::move(seen));
}

}  // namespace sherdmark::label_text
