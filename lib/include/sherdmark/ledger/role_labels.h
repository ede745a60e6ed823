// Labels of the roles that no catalog plans: boxes, shelves, field tags, removal slips; spares; and cards.
// Free functions over a Ledger, called by the tool. What they plan is stored like any plan (Ledger::store_plan), so a
// label whose text changed is revised and its prints are superseded.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/ledger/ledger.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {

// What the records say now. `only`: box or place ids or names, field numbers, loan ids; empty: all that there are.
//   box           every box; its home where the column is not restricted
//   shelf         every place that holds no other place
//   field tag     field numbers that are issued, and bound ones that have a tag already
//   removal slip  bags on loan that a loan record names, never those with a care flag
// usage_error for a name that is not there; internal_error for another role.
[[nodiscard]] std::vector<PlannedCarrierLabel> plan_role(const Ledger& ledger, LabelRole role,
                                                         const std::vector<std::string>& only);
[[nodiscard]] bool is_planned_by_role(LabelRole role);

struct RunChoice {
  std::vector<std::string> only;  // as plan_role; not for artifacts, bags and tags
  int spares = 0;                 // copies beyond what is due, of each label of the run
};
// Plans the role where a catalog does not, settles how many sheets a continued label has, and starts a run of what is
// due and its spares; returns its name. usage_error when nothing is due.
[[nodiscard]] std::string begin_role_run(Ledger& ledger, const Actor& actor, LabelRole role, const RunChoice& choice);

// The labels of these roles that were made before, with the texts that hold now; those that are not wanted any more are
// never due. Called before everything that is due is printed at once.
void refresh_role_plans(Ledger& ledger, const Actor& actor);

// How the prints of a run fared, and which of them are more than their labels need.
struct RunAccount {
  std::int64_t generated = 0, printed = 0, applied = 0, superseded = 0, voided = 0, spoiled = 0;
  std::vector<std::string> spare_serials;  // live, not applied, beyond the planned copies; the latest first
};
[[nodiscard]] RunAccount account_of_run(const Ledger& ledger, const std::string& run);

// What stands on the prints of a run, one request for each print. `role` is not artifact.
[[nodiscard]] std::vector<CarrierLabelRequest> carrier_requests(const Ledger& ledger, const std::string& run,
                                                                LabelRole role);

// Cards are no prints: they have no serial, no run and no revision (code/cards.h).
[[nodiscard]] std::vector<CarrierLabelRequest> action_cards(const Ledger& ledger);
[[nodiscard]] std::vector<CarrierLabelRequest> divider_cards(const Ledger& ledger, int first, int count);

// Words of a page: what it holds, and what to do with it. The material of the stock stands among the instructions.
[[nodiscard]] std::string sheet_title(LabelRole role);
[[nodiscard]] std::vector<std::string> sheet_instructions(const HouseStandard& standard, LabelRole role);

}  // namespace sherdmark
