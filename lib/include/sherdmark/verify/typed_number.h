// What the number that a person typed or keyed from an artifact's label names. What stands in the records exactly so
// comes first, then what the house standard makes of it (case, dashes, leading zeros): "12.03" may be an old number of
// its own and not the present 12.3. Where labels print a check character it is verified ("2031-114-38=B"); typed
// without its "=" it could be taken for part of the number, so such a text is asked back. Pure; no errors.
#pragma once

#include <string>
#include <string_view>

#include "sherdmark/ledger/records.h"
#include "sherdmark/standard/house_standard.h"

namespace sherdmark {

enum class TypedSense {
  none,         // no number of the house standard and none of the records
  number,       // `number`: an item's or a piece's by its form, or one that the records know
  wrong_check,  // a number, but the check character after its "=" is not that number's
  needs_check   // its last character may belong to the number or be the check character
};

struct TypedNumber {
  TypedSense sense = TypedSense::none;
  std::string number;  // as the records have it: canonical, or a former number as written
};

[[nodiscard]] TypedNumber typed_number(const CollectionView& records, const HouseStandard& standard,
                                       std::string_view text);

// What to say of a text that is not to be believed: one sentence; empty for `number`.
[[nodiscard]] std::string typed_number_problem(const TypedNumber& typed, std::string_view text);

}  // namespace sherdmark
