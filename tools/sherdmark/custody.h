// What the custody commands do alike: open the ledger, watch the prints an act touches, act, say what became stale.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "session.h"
#include "sherdmark/report/custody_report.h"

namespace sherdmark {

struct CustodyOutcome {
  std::string done;
  std::vector<std::pair<std::string, std::string>> values = {};
  std::vector<std::string> more = {};
};

// `subjects`: bags, items and boxes whose labels the act may touch. Returns the exit code.
int do_custody(const Session& session, const CommonOptions& options,
               const std::function<std::vector<std::string>(const Ledger&)>& subjects,
               const std::function<CustodyOutcome(Ledger&, const Actor&)>& act);

// A bag as a person names it: id with or without hyphens, or the serial or scanned code of one of its labels;
// usage_error as above.
[[nodiscard]] std::string bag_named(const Ledger& ledger, const std::string& name);
// An item's canonical number; what was given when no scheme reads it.
[[nodiscard]] std::string item_named(const Ledger& ledger, const std::string& name);
// A day as a person writes it in the order of the house standard (1.6.2031), as the ledger keeps it (2031-06-01); empty
// when nothing was said. usage_error for anything but one whole day: what is not kept so cannot be told overdue.
[[nodiscard]] std::string day_named(const Ledger& ledger, const std::string& written);
// The bag, and the items it holds.
[[nodiscard]] std::vector<std::string> with_contents(const Ledger& ledger, const std::string& bag);

}  // namespace sherdmark
