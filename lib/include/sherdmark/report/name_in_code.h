// Names as people give them to commands that look things up (look_up, report/ledger_report.h): a code may be scanned in
// place of a name. Callable from report and tools.
#pragma once

#include <string>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

// What a label names whose code was scanned: a bag, box or place by its id, anything else by its number; `asked` itself
// when it is no code. usage_error when it is another collection's: its names may be ours, too.
[[nodiscard]] std::string name_in_code(const Ledger& ledger, const std::string& asked);

}  // namespace sherdmark
