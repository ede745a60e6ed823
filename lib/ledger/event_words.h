// Events in words.
#pragma once

#include <string>
#include <string_view>

#include "sherdmark/ledger/event.h"

namespace sherdmark {

// What the event did, as it concerns `subject` (empty: in general). Holds no restricted value: payloads leave those
// out of what this reads.
[[nodiscard]] std::string event_in_words(const Event& event, std::string_view subject);

}  // namespace sherdmark
