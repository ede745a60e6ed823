// agree: everything required was read surely and belongs together. Shown positively, from the records up, so that an
// oversight in the reasons against it cannot turn into an agreement.
#include <algorithm>

#include "sherdmark/base/text.h"
#include "sherdmark/ledger/identity.h"
#include "verify/predicates.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_present = "in collection";

bool carrier_stands(const Case& the_case, const SeenCarrier& carrier) {
  const bool in_force =
      carrier.ours && carrier.live() && carrier.mismatch.empty() && carrier.copies_in_one_picture == 1;
  if (!in_force) return false;
  if (!carrier.names_bag()) return true;
  return carrier.bag && *carrier.reading.bag == the_case.bag->id && carrier.print->subject == the_case.bag->id;
}

bool number_stands(const Case& the_case, const SeenNumber& seen) {
  if (seen.record.never_label) return false;
  if (!seen.record.formerly.empty()) return false;
  if (seen.belonging == Belonging::former_unlabelled)
    return std::any_of(the_case.unlabelled.begin(), the_case.unlabelled.end(), [&](const UnlabelledItem& one) {
      return one.item == seen.record.items.front() && (!one.pieces || one.at_most <= *one.pieces);
    });
  if (seen.belonging != Belonging::expected && seen.belonging != Belonging::former) return false;
  return std::any_of(the_case.expected.begin(), the_case.expected.end(), [&](const ExpectedNumber& expected) {
    if (expected.artifact.number != seen.stands_for) return false;
    const bool few_enough = expected.at_most <= expected.artifact.copies;
    if (seen.belonging == Belonging::former) return few_enough;
    return few_enough && std::max(seen.count.at_most, expected.in_all_bags) <= seen.live_copies();
  });
}

// Each place that was given or read is the bag's place or lies around it, each box its box, and it is not lent.
bool place_stands(const Case& the_case) {
  const BagRecord& bag = *the_case.bag;
  if (bag.lent) return false;
  for (const std::string& place : the_case.places)
    if (!bag.now_place.empty() && (bag.now_place + "/").rfind(place + "/", 0) != 0) return false;
  for (const std::string& box : the_case.boxes_typed)
    if (box != bag.box) return false;
  return std::none_of(the_case.carriers.begin(), the_case.carriers.end(), [&](const SeenCarrier& carrier) {
    return carrier.reading.role == LabelRole::box && carrier.reading.place.value_or("") != bag.box_id;
  });
}

// What was counted is what is recorded; where something is only weighed, no less than what is.
bool count_stands(const Case& the_case) {
  if (!the_case.set.counted_pieces) return true;
  std::int64_t recorded = 0;
  bool all = true;
  for (const BagContent& content : the_case.bag->contents) {
    recorded += content.quantity.value_or(0);
    all = all && content.quantity;
  }
  const std::int64_t counted = *the_case.set.counted_pieces;
  return all ? counted == recorded : counted >= recorded;
}

bool all_sheets_seen(const Case& the_case, LabelRole role) {
  std::vector<int> seen = sheets_seen(the_case, role);
  if (seen.empty()) return !required(the_case, role);
  const std::vector<int> needed = sheets_needed(the_case, role);
  return std::all_of(needed.begin(), needed.end(),
                     [&](int ordinal) { return std::find(seen.begin(), seen.end(), ordinal) != seen.end(); });
}

}  // namespace

bool is_shown_to_agree(const Case& the_case) {
  if (!the_case.bag || the_case.bag->state != BagState::active || the_case.bag->contents.empty()) return false;
  if (the_case.bag_ids.size() != 1 || !the_case.unsure.empty()) return false;
  if (!place_stands(the_case) || !count_stands(the_case)) return false;
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
  if (!the_case.bag) return reasons;
  for (const BagContent& content : the_case.bag->contents)
    if (!content.status.empty() && to_lower_ascii(content.status) != k_present)
      reasons.push_back(make_reason(ReasonCode::item_status, {{"item", content.item}, {"status", content.status}}));
  const auto& counted = the_case.set.counted_pieces;
  if (the_case.set.opened_and_counted && counted && !recorded_pieces(the_case))
    reasons.push_back(make_reason(ReasonCode::count_not_compared,
                                  {{"seen", std::to_string(*counted)}, {"bag", group_identity(the_case.bag->id)}}));
  return reasons;
}

}  // namespace sherdmark
