// incomplete: a required role, an expected artifact or the right number of copies was not seen.
#include <algorithm>

#include "sherdmark/ledger/identity.h"
#include "verify/predicates.h"

namespace sherdmark {
namespace {

void judge_role(const Case& the_case, LabelRole role, ReasonCode missing, Reasons& reasons) {
  const std::vector<int> seen = sheets_seen(the_case, role);
  if (seen.empty()) {
    // Among labels of several bags the role is there, only not of one bag.
    const bool of_several = the_case.bag_ids.size() > 1 &&
                            std::any_of(the_case.carriers.begin(), the_case.carriers.end(),
                                        [&](const SeenCarrier& carrier) { return carrier.reading.role == role; });
    if (required(the_case, role) && !of_several) reasons.push_back(make_reason(missing));
    return;
  }
  const std::vector<int> needed = sheets_needed(the_case, role);
  const auto found = std::count_if(needed.begin(), needed.end(), [&](int ordinal) {
    return std::find(seen.begin(), seen.end(), ordinal) != seen.end();
  });
  if (found < static_cast<std::ptrdiff_t>(needed.size()) && needed.size() > 1)
    reasons.push_back(make_reason(ReasonCode::missing_sheet, {{"role", std::string{to_text(role)}},
                                                              {"bag", group_identity(the_case.bag->id)},
                                                              {"expected", std::to_string(needed.size())},
                                                              {"seen", std::to_string(found)}}));
}

void judge_contents(const Case& the_case, Reasons& reasons) {
  if (the_case.bag->contents.empty())
    reasons.push_back(make_reason(ReasonCode::nothing_recorded, {{"bag", group_identity(the_case.bag->id)}}));
  if (required(the_case, LabelRole::artifact))
    for (const ExpectedNumber& expected : the_case.expected)
      if (expected.at_least < expected.artifact.copies)
        reasons.push_back(
            make_reason(ReasonCode::missing_artifact, {{"number", expected.artifact.number},
                                                       {"expected", std::to_string(expected.artifact.copies)},
                                                       {"seen", std::to_string(expected.at_least)}}));
  // Where something is only weighed, what is recorded of the rest is still the least there must be.
  std::int64_t recorded = 0;
  for (const BagContent& content : the_case.bag->contents) recorded += content.quantity.value_or(0);
  const auto& counted = the_case.set.counted_pieces;
  if (the_case.set.opened_and_counted && counted && *counted < recorded)
    reasons.push_back(make_reason(ReasonCode::pieces_short, {{"seen", std::to_string(*counted)},
                                                             {"expected", std::to_string(recorded)},
                                                             {"bag", group_identity(the_case.bag->id)}}));
}

}  // namespace

Reasons is_incomplete(const Case& the_case) {
  Reasons reasons;
  if (the_case.carriers.empty() && the_case.numbers.empty() && the_case.unsure.empty()) {
    reasons.push_back(make_reason(ReasonCode::nothing_seen));
    return reasons;
  }
  judge_role(the_case, LabelRole::bag, ReasonCode::missing_bag_label, reasons);
  judge_role(the_case, LabelRole::tag, ReasonCode::missing_tag, reasons);
  // Whatever the house standard waives, something must say which bag this is.
  const bool waived = !required(the_case, LabelRole::bag) && !required(the_case, LabelRole::tag);
  if (waived && the_case.bag_ids.empty()) reasons.push_back(make_reason(ReasonCode::missing_bag_label));
  if (the_case.bag) judge_contents(the_case, reasons);
  return reasons;
}

}  // namespace sherdmark
