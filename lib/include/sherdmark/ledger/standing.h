// What is true of a bag or an item just now, beyond its record: where it stands in the work. Callable from report.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sherdmark/ledger/bench.h"
#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

struct BagStanding {
  std::string away_until;             // moved for the time being: when it should be back; empty otherwise
  std::optional<LoanRecord> loan;     // it is out with
  std::optional<Drying> drying;       // absent for a retired bag
  std::vector<PrintRecord> in_force;  // its labels and tags that were printed or applied
  std::int64_t stale = 0;             // earlier ones that must not be used any more
};
// usage_error when there is no such bag.
[[nodiscard]] BagStanding bag_standing(const Ledger& ledger, const std::string& bag);

struct ItemStanding {
  std::vector<std::string> former;   // numbers it had before, by renumbering or concordance
  std::string assembly;              // empty: none
  std::vector<std::string> members;  // the others of the assembly
};
[[nodiscard]] ItemStanding item_standing(const Ledger& ledger, const std::string& item);

}  // namespace sherdmark
