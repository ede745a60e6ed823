// Which station a computer is.
#pragma once

#include <string>

namespace sherdmark {

// How a station's computer is kept: never by its name, so that a ledger does not tell whose computers it was on.
[[nodiscard]] std::string machine_mark(const std::string& collection_key, const std::string& machine);

}  // namespace sherdmark
