// A person's decision that an item is under restricted care (ledger/care.h) outranks a later catalog that does not know
// of it: it stands until a person lifts it. Free functions over a Ledger, callable from tools. Events:
// docs/formats/ledger.md.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

struct StandingRestriction {
  std::string item;  // its number now
  std::string flag;
  std::string person, time, reason;  // of the decision
};

// Those of one item, oldest first; none when its flags came with a catalog only.
[[nodiscard]] std::vector<StandingRestriction> standing_restrictions(const Ledger& ledger, const std::string& item);

// Gives every row the flags a person's decision put on its item and the row lacks; says which. Call it before a catalog
// is compared with the ledger. Looks only at items that have a flag.
[[nodiscard]] std::vector<StandingRestriction> keep_restrictions(const Ledger& ledger, std::vector<CatalogRow>& rows);

struct LiftedRestriction {
  StandingRestriction was;
  std::vector<std::string> flags;  // what is left on the item
  bool still_restricted = false;   // another care flag stands
};
// Takes such a flag away, as one event. Labels come with the next plan. usage_error when the item has no such flag by a
// person's decision (a flag that came with the catalog is taken out there), or no reason is given.
LiftedRestriction lift_restriction(Ledger& ledger, const Actor& actor, const std::string& item, const std::string& flag,
                                   const std::string& reason);

}  // namespace sherdmark
