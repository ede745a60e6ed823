// Smithsonian trinomials: which state writes its site numbers how.
//
// Source: the table of state numbers and the list of exceptions published under "Smithsonian trinomial" in the
// English Wikipedia: the 48 contiguous states in alphabetical order are 1 to 48, Alaska is 49, Hawaii 50. These are
// not FIPS codes. Exceptions: Arizona, California, Connecticut, Maine, Rhode Island and Vermont begin with the postal
// letters; Alaska and California have three letters for the second part; Delaware has one letter and a block A-K.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "fragment.h"
#include "sherdmark/standard/scheme.h"

namespace sherdmark {

enum class TrinomialForm {
  usual,         // 16WC5: number, two county letters, running number
  quadrangle,    // 49-XYZ-12: Alaska, three letters of a map sheet
  three_letter,  // CA-XYZ-1: California, three county letters
  two_letter,    // VT-XY-12: Vermont, two county letters (hyphens from memory)
  running,       // RI-12: Connecticut and Rhode Island, running number only
  map_sheet,     // ME-31-5: Maine, survey map and running number (from memory)
  block,         // 7K-A-12: Delaware, one county letter and a block A-K (hyphens from memory)
  arizona        // AZ U:9:1(ABC): quadrangle A-Z or AA-FF doubled, rectangle, running number, agency if given
};

struct StateRow {
  int number;
  std::string_view postal;
  TrinomialForm form;
};

[[nodiscard]] const std::array<StateRow, 50>& trinomial_states();

// One stretch of a trinomial; `separator` stands before it in the canonical form.
struct TrinomialStretch {
  std::u32string separator;
  Fragment fragment;
  bool may_end_after = false;  // the trinomial may end here
};

// Every way to write a trinomial that the part allows: its states (postal letters in `choices`, all when empty), its
// running number (smallest … largest, padding) and its suffix letters (`alphabet`, none when empty).
[[nodiscard]] std::vector<std::vector<TrinomialStretch>> trinomial_forms(const SchemePart& part);

}  // namespace sherdmark
