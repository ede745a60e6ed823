// stale: void, spoiled, superseded, or never confirmed as printed.
#include "sherdmark/ledger/identity.h"
#include "verify/predicates.h"

namespace sherdmark {
namespace {

void judge_print(const Case& the_case, const SeenCarrier& carrier, Reasons& reasons) {
  const std::string label = describe_label(carrier.reading);
  switch (carrier.print->state) {
    case PrintState::generated:
      reasons.push_back(make_reason(ReasonCode::never_printed, {{"label", label}}));
      return;
    case PrintState::superseded:
      reasons.push_back(make_reason(ReasonCode::superseded_label, {{"label", label}}));
      return;
    case PrintState::void_:
      reasons.push_back(make_reason(ReasonCode::void_label, {{"label", label}}));
      return;
    case PrintState::spoiled:
      reasons.push_back(make_reason(ReasonCode::spoiled_label, {{"label", label}}));
      return;
    case PrintState::printed:
    case PrintState::applied:
      break;
  }
  if (!carrier.names_bag()) return;
  for (const PrintRecord& other : the_case.records.live_prints(carrier.print->subject, carrier.print->role))
    if (other.ordinal == carrier.print->ordinal && other.revision > carrier.print->revision) {
      reasons.push_back(make_reason(ReasonCode::older_revision, {{"label", label},
                                                                 {"revision", std::to_string(carrier.print->revision)},
                                                                 {"newer", std::to_string(other.revision)}}));
      return;
    }
}

// An artifact label has no serial: it is stale when no copy of its number is in force.
void judge_number(const SeenNumber& seen, Reasons& reasons) {
  if (!seen.label || seen.live_copies() > 0) return;
  const std::string label = "artifact label " + seen.count.number;
  if (seen.label->generated > 0) {
    reasons.push_back(make_reason(ReasonCode::never_printed, {{"label", label}}));
  } else if (seen.label->superseded > 0) {
    reasons.push_back(make_reason(ReasonCode::superseded_label, {{"label", label}}));
  } else if (seen.label->voided > 0) {
    reasons.push_back(make_reason(ReasonCode::void_label, {{"label", label}}));
  } else {
    reasons.push_back(make_reason(ReasonCode::no_copy_in_force, {{"label", label}}));  // spoiled ones are not counted
  }
}

// Of a number that several bags share nobody can say which copies are the ones that are void.
void judge_shared(const Case& the_case, const SeenNumber& seen, Reasons& reasons) {
  if (seen.belonging != Belonging::expected || seen.live_copies() == 0) return;
  for (const ExpectedNumber& expected : the_case.expected) {
    const bool shared = expected.in_all_bags > expected.artifact.copies;
    if (expected.artifact.number != seen.stands_for || !shared || expected.in_all_bags <= seen.live_copies()) continue;
    reasons.push_back(make_reason(ReasonCode::copies_not_in_force, {{"number", seen.count.number},
                                                                    {"expected", std::to_string(expected.in_all_bags)},
                                                                    {"live", std::to_string(seen.live_copies())}}));
  }
}

}  // namespace

Reasons is_stale(const Case& the_case) {
  Reasons reasons;
  for (const SeenCarrier& carrier : the_case.carriers)
    if (carrier.print) judge_print(the_case, carrier, reasons);
  // A former number's label is stale by nature; it is judged by the item it leads to.
  for (const SeenNumber& seen : the_case.numbers)
    if (seen.record.meaning != NumberMeaning::former_number) judge_number(seen, reasons);
  for (const SeenNumber& seen : the_case.numbers) judge_shared(the_case, seen, reasons);
  if (the_case.bag && the_case.bag->state == BagState::retired)
    reasons.push_back(make_reason(ReasonCode::retired_bag, {{"bag", group_identity(the_case.bag->id)}}));
  return reasons;
}

}  // namespace sherdmark
