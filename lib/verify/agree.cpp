// agree: everything required was read surely and belongs together. Shown positively, from the records up, so that an
// oversight in the reasons against it cannot turn into an agreement.
#include <algorithm>

#include "verify/predicates.h"

namespace sherdmark {
namespace {

bool carrier_stands(const Case& the_case, const SeenCarrier& carrier) {
  const bool in_force =
      carrier.ours && carrier.live() && carrier.mismatch.empty() && carrier.copies_in_one_picture == 1;
  if (!in_force) return false;
  if (!carrier.names_bag()) return true;
  return carrier.bag && *carrier.reading.bag == the_case.bag->id && carrier.print->subject == the_case.bag->id;
}

bool number_stands(const Case& the_case, const SeenNumber& seen) {
  if (seen.record.never_label) return false;
  if (seen.belonging == Belonging::former_unlabelled) return true;
  if (seen.belonging != Belonging::expected && seen.belonging != Belonging::former) return false;
  return std::any_of(the_case.expected.begin(), the_case.expected.end(), [&](const ExpectedNumber& expected) {
    if (expected.artifact.number != seen.stands_for) return false;
    const bool few_enough = expected.at_most <= expected.artifact.copies;
    return few_enough && (seen.belonging == Belonging::former || seen.count.at_most <= seen.live_copies());
  });
}

bool all_sheets_seen(const Case& the_case, LabelRole role) {
  std::vector<int> seen = sheets_seen(the_case, role);
  if (seen.empty()) return !required(the_case, role);
  const std::vector<int> in_force = sheets_in_force(the_case, role);
  return std::all_of(in_force.begin(), in_force.end(),
                     [&](int ordinal) { return std::find(seen.begin(), seen.end(), ordinal) != seen.end(); });
}

}  // namespace

bool is_shown_to_agree(const Case& the_case) {
  if (!the_case.bag || the_case.bag->state != BagState::active || the_case.bag->contents.empty()) return false;
  if (the_case.bag_ids.size() != 1 || !the_case.unsure.empty()) return false;
  const auto& carriers = the_case.carriers;
  const auto& numbers = the_case.numbers;
  if (!std::all_of(carriers.begin(), carriers.end(), [&](const auto& one) { return carrier_stands(the_case, one); }))
    return false;
  if (!std::all_of(numbers.begin(), numbers.end(), [&](const auto& one) { return number_stands(the_case, one); }))
    return false;
  if (!all_sheets_seen(the_case, LabelRole::bag) || !all_sheets_seen(the_case, LabelRole::tag)) return false;
  if (!required(the_case, LabelRole::artifact)) return true;
  return std::all_of(the_case.expected.begin(), the_case.expected.end(),
                     [](const ExpectedNumber& expected) { return expected.at_least == expected.artifact.copies; });
}

Reasons notes(const Case& the_case) {
  Reasons reasons;
  for (const SeenNumber& seen : the_case.numbers)
    if (seen.record.meaning == NumberMeaning::former_number && seen.record.items.size() == 1)
      reasons.push_back(make_reason(
          ReasonCode::former_number,
          {{"role", "artifact label"}, {"number", seen.count.number}, {"item", seen.record.items.front()}}));
  for (const SeenCarrier& carrier : the_case.carriers) {
    if (!carrier.reading.number || carrier.reading.number_is_opaque) continue;
    const NumberRecord record = the_case.records.find_number(*carrier.reading.number);
    if (record.meaning == NumberMeaning::former_number && record.items.size() == 1)
      reasons.push_back(make_reason(ReasonCode::former_number, {{"role", std::string{to_text(carrier.reading.role)}},
                                                                {"number", *carrier.reading.number},
                                                                {"item", record.items.front()}}));
  }
  for (const Reading& slip : the_case.slips)
    if (slip.role == LabelRole::removal_slip && (!the_case.bag || !slip.bag || *slip.bag == the_case.bag->id))
      reasons.push_back(make_reason(ReasonCode::removal_slip));
  return reasons;
}

}  // namespace sherdmark
