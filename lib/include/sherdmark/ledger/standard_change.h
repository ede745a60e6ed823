// Whether a new edition of the house standard still fits what the ledger holds. Callable from tools.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

// Numbers of lots and items that the edition in force reads, and the new edition's schemes do not, or read as another
// number. A few are named.
struct StandardMisfit {
  std::int64_t numbers = 0;
  std::vector<std::string> examples;  // the first ten, canonical as the ledger has them
};

[[nodiscard]] StandardMisfit numbers_that_do_not_fit(const Ledger& ledger, const HouseStandard& standard);

}  // namespace sherdmark
