// What must hold before a container is moved, divided or lent; each throws usage_error. Private to the ledger.
#pragma once

#include <string>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

[[nodiscard]] BagRecord need_bag(const Ledger& ledger, const std::string& bag);  // known and not retired
// What is not in the house cannot be put elsewhere or divided.
void refuse_lent(const BagRecord& bag);
[[nodiscard]] std::string need_place(const std::string& path);  // as the ledger keeps it

}  // namespace sherdmark
