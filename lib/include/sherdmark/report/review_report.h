// What a review needs and says: the readings of a verdict that was kept, the crops that a person looks at, the outcome.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "sherdmark/base/picture.h"
#include "sherdmark/ledger/reviews.h"
#include "sherdmark/verify/judge.h"

namespace sherdmark {

// The readings as `check --record` kept them. data_error when they are not such a list.
[[nodiscard]] std::vector<Reading> readings_of(const CheckRecord& check);

// The label upright, with what lies about it, large enough to be read on a screen. `corners` as the reading has them.
[[nodiscard]] ColourPicture crop_label(const ColourPicture& photograph, const Corners& corners);

// For a code of a bag label or tag: the label round it upright, as far as the house standard's designs reach, or a wide
// surrounding when of the code itself too little is seen, with a frame round the code.
[[nodiscard]] ColourPicture crop_carrier(const ColourPicture& photograph, const Reading& seen,
                                         const HouseStandard& standard);

struct ReviewedSet {
  std::string set;
  std::string verdict_before;
  SetVerdict outcome;
  std::size_t asked = 0;
  std::size_t keyed = 0;
};
// `waiting`: sets that were left for another time.
[[nodiscard]] std::string review_text(std::span<const ReviewedSet> sets, std::size_t waiting);
[[nodiscard]] std::string review_json(std::span<const ReviewedSet> sets);

[[nodiscard]] std::string overrides_text(std::span<const Override> overrides);
[[nodiscard]] std::string overrides_json(std::span<const Override> overrides);

}  // namespace sherdmark
