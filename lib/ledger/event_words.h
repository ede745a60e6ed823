// Events in words.
#pragma once

#include <string>
#include <string_view>

#include "sherdmark/ledger/event.h"
#include "sherdmark/standard/house_standard.h"

namespace sherdmark {

// What the event did, as it concerns `subject` (empty: in general). Holds no restricted value: of columns the payloads
// leave those out of what this reads, of places it says only that there is one when `standard` restricts them.
[[nodiscard]] std::string event_in_words(const Event& event, std::string_view subject, const HouseStandard& standard);

}  // namespace sherdmark
