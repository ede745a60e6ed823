// What is decided late about an item: a care flag that restricts it, and which assembly it belongs to. Free functions
// over a Ledger, callable from tools. Events and tables: docs/formats/ledger.md.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

// What a late restriction leaves to do. Unapplied copies are void: destroy them. Applied ones stay: "do not remove;
// consult".
struct LateRestriction {
  std::string item;
  std::vector<std::string> bags;       // that hold it; they get no label, picture or draw from now on
  std::vector<PrintRecord> forbidden;  // were generated or printed
  std::vector<PrintRecord> applied;
};
// `flag` must be one of the standard's care flags. One event. usage_error when the item has the flag already, or no
// reason is given.
LateRestriction restrict_item(Ledger& ledger, const Actor& actor, const std::string& item, const std::string& flag,
                              const std::string& reason);

// Puts items into an assembly (made when it is not there), or takes them out. An item belongs to one assembly at most.
// usage_error when nothing would change, with a reason missing only when taking out.
void join_assembly(Ledger& ledger, const Actor& actor, const std::string& assembly,
                   const std::vector<std::string>& items, const std::string& reason);
void leave_assembly(Ledger& ledger, const Actor& actor, const std::string& assembly,
                    const std::vector<std::string>& items, const std::string& reason);

struct AssemblyRecord {
  std::string name;
  std::vector<std::string> items;
};
[[nodiscard]] std::vector<AssemblyRecord> assemblies(const Ledger& ledger);

}  // namespace sherdmark
