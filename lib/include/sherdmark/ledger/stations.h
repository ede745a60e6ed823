// Which station of a ledger a computer is, for those who only read. Writing asks Ledger::station_here, which registers.
#pragma once

#include <string>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

// Code of the station that `machine` (this_machine()) writes as; empty when it has never written in this ledger.
[[nodiscard]] std::string known_station(const Ledger& ledger, const std::string& machine);

}  // namespace sherdmark
