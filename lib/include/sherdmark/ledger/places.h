// Places as people write them. Callable from tools.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

// The path as the ledger keeps it: labels print "Room 2 / Shelf 3" with blanks around the strokes, and people type
// what they read. Blanks around "/" and at both ends are taken off; nothing else is changed.
[[nodiscard]] std::string place_as_kept(std::string_view written);

// Bags of a box (its id or name) that were moved elsewhere on their own: they do not go along when it is moved. One on
// loan goes along, for it will come back to its box.
[[nodiscard]] std::vector<std::string> bags_away(const Ledger& ledger, const std::string& box);

// Known places that are written almost so, the likest first, three at most; none when nothing is like it.
[[nodiscard]] std::vector<std::string> places_like(const Ledger& ledger, std::string_view written);

}  // namespace sherdmark
