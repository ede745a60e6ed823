// Which computer this is. Callable from tools.
#pragma once

#include <string>

namespace sherdmark {

// One computer's name for itself: stable over restarts, different on another computer. A ledger keeps only its hash.
[[nodiscard]] std::string this_machine();

}  // namespace sherdmark
