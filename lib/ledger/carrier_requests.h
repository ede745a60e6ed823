// The code of a print, for the files of this layer.
#pragma once

#include <string>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

// Text of the code on a print of any role but artifact. A shelf's path that is too long for a code stays out of it.
[[nodiscard]] std::string carrier_code(const Ledger& ledger, const PrintRecord& print);

}  // namespace sherdmark
