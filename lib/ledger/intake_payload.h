// An intake as the payload of one event.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "ledger/sqlite.h"
#include "sherdmark/ledger/intake.h"

namespace sherdmark {

struct IntakePayload {
  std::string json;
  std::size_t bags_made = 0;
  std::vector<std::string> without_bag;
};

// Decides which bag holds what (the house standard's rule, the catalog's marks) and writes down the whole act, so that
// applying it needs no rule. `station`: its counters are read, not changed.
[[nodiscard]] IntakePayload write_intake(Database& database, const HouseStandard& standard, const std::string& station,
                                         std::span<const CatalogRow> rows, const IntakeDiff& diff,
                                         const std::vector<std::string>& vanished, const std::string& source);

}  // namespace sherdmark
