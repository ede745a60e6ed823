#include "sherdmark/ledger/standing.h"

#include <algorithm>

#include "ledger/core.h"
#include "ledger/identity_rows.h"
#include "sherdmark/ledger/renumber.h"

namespace sherdmark {

BagStanding bag_standing(const Ledger& ledger, const std::string& bag) {
  const auto record = ledger.find_bag(bag);
  if (!record) throw unknown_thing("bag", bag, "check the id under the code of the bag label");
  Database& db = core_of(ledger).db;
  BagStanding standing;
  standing.away_until = db.find_text("SELECT until FROM bags WHERE id = ?", row_of_bag(bag)).value_or(std::string{});
  if (record->lent)
    for (const LoanRecord& loan : ledger.loans())
      if (std::ranges::find(loan.out, bag) != loan.out.end()) standing.loan = loan;
  if (record->state == BagState::active) standing.drying = drying_of(ledger, bag);
  for (const LabelRole role : {LabelRole::bag, LabelRole::tag})
    for (PrintRecord& print : ledger.live_prints(bag, role)) standing.in_force.push_back(std::move(print));
  standing.stale = db.find_integer(
                         "SELECT count(*) FROM prints p JOIN labels l ON l.id = p.label WHERE l.subject = ? AND"
                         " p.state IN ('superseded', 'void')",
                         bag)
                       .value_or(0);
  return standing;
}

ItemStanding item_standing(const Ledger& ledger, const std::string& item) {
  ItemStanding standing;
  standing.former = entered_former_numbers(ledger, item);
  standing.assembly =
      core_of(ledger)
          .db
          .find_text(
              "SELECT a.name FROM assembly_members m JOIN assemblies a ON a.id = m.assembly JOIN items i"
              " ON i.id = m.item WHERE i.number = ?",
              item)
          .value_or(std::string{});
  if (standing.assembly.empty()) return standing;
  standing.members = ledger.assembly_members(standing.assembly);
  std::erase(standing.members, item);
  return standing;
}

}  // namespace sherdmark
