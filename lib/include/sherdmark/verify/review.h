// Labels that were seen and not read surely, keyed by a person from their crops. The person is blind: what is expected
// is never shown, and the ledger is asked only after the answer was given. Called by the tool.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/verify/judge.h"

namespace sherdmark {

// Which of the readings a person should key: not read surely, or by a margin below the house standard's; only those
// that can be shown (they have corners). Indices, in order.
[[nodiscard]] std::vector<std::size_t> readings_to_key(const std::vector<Reading>& readings,
                                                       const HouseStandard& standard);

inline constexpr std::string_view k_no_label = "-";  // keyed: this is no label at all

enum class KeyedSense { understood, cannot_read, no_label, not_understood };

struct Keyed {
  KeyedSense sense = KeyedSense::not_understood;
  std::optional<Reading> reading;  // when understood
  std::string remedy;              // when not: what to key instead
};

// An artifact label's number in any scheme of the standard; of a bag label or tag the serial, eight characters under
// its code, and behind a space the bag's id where that is printed too. An empty answer says that the person cannot read
// it either. A serial that no print has is understood: the verdict will say so.
[[nodiscard]] Keyed understand_keyed(const Reading& seen, std::string_view keyed, const CollectionView& records,
                                     const HouseStandard& standard);

}  // namespace sherdmark
