// Places as people write them. Callable from tools.
#pragma once

#include <string>
#include <string_view>

namespace sherdmark {

// The path as the ledger keeps it: labels print "Room 2 / Shelf 3" with blanks around the strokes, and people type
// what they read. Blanks around "/" and at both ends are taken off; nothing else is changed.
[[nodiscard]] std::string place_as_kept(std::string_view written);

}  // namespace sherdmark
