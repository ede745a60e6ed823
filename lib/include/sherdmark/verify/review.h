// Labels that were seen and not read surely, keyed by a person from their crops. The person is blind: what is expected
// is never shown, and the ledger is asked only after the answer was given. Called by the tool.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/verify/judge.h"

namespace sherdmark {

// Which of the readings a person should key: not read surely, or by a margin below the house standard's; only those
// that can be shown (they have corners). A label that was seen both ways up is asked for once, as it was read better.
// Indices, in order.
[[nodiscard]] std::vector<std::size_t> readings_to_key(const std::vector<Reading>& readings,
                                                       const HouseStandard& standard);

inline constexpr std::string_view k_no_label = "-";  // keyed: this is no label at all

enum class KeyedSense { understood, cannot_read, no_label, not_understood };

struct Keyed {
  KeyedSense sense = KeyedSense::not_understood;
  std::optional<Reading> reading;  // when understood
  std::string remedy;              // when not: what to key instead
};

// A code of the large kind, which only bag labels, tags, shelves … carry, or the large print of one.
[[nodiscard]] bool is_of_carrier(const Reading& seen);

// Of an artifact label's crop its number in any scheme of the standard. Of a bag label's or tag's code the serial and
// the bag's id, both printed on it, in either order (verify/typed_label.h); no number of an artifact, and the other way
// round. An empty answer says that the person cannot read it either; that it is no label is not taken for a code
// of which so much was read that it is ours, nor for the large print of a bag label or tag. A small code that was read
// on the label stays with the reading, so that the verdict can compare the two.
[[nodiscard]] Keyed understand_keyed(const Reading& seen, std::string_view keyed, const CollectionView& records,
                                     const HouseStandard& standard);

// The readings of a set after a person keyed some of them, by index: what was understood in place of what was seen,
// nothing where there is no label, and what nobody could read as it was. An answer stands for the same label seen the
// other way up as well.
[[nodiscard]] std::vector<Reading> readings_after_keying(const std::vector<Reading>& seen,
                                                         const std::map<std::size_t, Keyed>& keyed);

}  // namespace sherdmark
