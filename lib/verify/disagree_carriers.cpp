// disagree: bag labels, tags and field tags that name things which do not belong together.
#include <algorithm>
#include <numeric>

#include "sherdmark/base/text.h"
#include "sherdmark/ledger/identity.h"
#include "verify/predicates.h"

namespace sherdmark {
namespace {

void find_several(const Case& the_case, Reasons& reasons) {
  const bool any_ours = std::any_of(the_case.carriers.begin(), the_case.carriers.end(),
                                    [](const SeenCarrier& carrier) { return carrier.ours; });
  for (const SeenCarrier& carrier : the_case.carriers)
    if (!carrier.ours && (any_ours || !the_case.numbers.empty()))
      reasons.push_back(make_reason(ReasonCode::several_collections, {{"label", describe_label(carrier.reading)}}));
  if (the_case.bag_ids.size() < 2) return;
  std::vector<std::string> bags;
  for (const std::string& id : the_case.bag_ids) bags.push_back(group_identity(id));
  reasons.push_back(make_reason(ReasonCode::several_bags, {{"bags", join(bags, ", ")}}));
}

void find_wrong_tags(const Case& the_case, Reasons& reasons) {
  if (the_case.bag_ids.size() != 1) return;
  const std::string& bag = the_case.bag_ids.front();
  for (const SeenCarrier& carrier : the_case.carriers)
    if (carrier.ours && carrier.reading.role == LabelRole::tag && *carrier.reading.bag != bag)
      reasons.push_back(make_reason(ReasonCode::wrong_tag,
                                    {{"other", group_identity(*carrier.reading.bag)}, {"bag", group_identity(bag)}}));
}

// A slip says that a bag is away and where it went; it lies with that bag, or in its place.
void find_wrong_slips(const Case& the_case, Reasons& reasons) {
  if (the_case.bag_ids.size() != 1) return;
  const std::string& bag = the_case.bag_ids.front();
  for (const Reading& slip : the_case.slips)
    if (slip.role == LabelRole::removal_slip && slip.bag && *slip.bag != bag)
      reasons.push_back(
          make_reason(ReasonCode::wrong_slip, {{"other", group_identity(*slip.bag)}, {"bag", group_identity(bag)}}));
}

// The same serial in two places, or two prints in force of one sheet of one bag and role.
void find_duplicates(const Case& the_case, Reasons& reasons) {
  const auto& carriers = the_case.carriers;
  for (std::size_t i = 0; i < carriers.size(); ++i) {
    const SeenCarrier& carrier = carriers[i];
    bool twice = carrier.copies_in_one_picture > 1;
    for (std::size_t j = 0; j < i && !twice; ++j) {
      const SeenCarrier& other = carriers[j];
      twice = carrier.names_bag() && carrier.live() && other.live() && carrier.ours && other.ours &&
              carrier.reading.role == other.reading.role && carrier.reading.bag == other.reading.bag &&
              carrier.print->ordinal == other.print->ordinal;
    }
    if (twice)
      reasons.push_back(make_reason(ReasonCode::duplicate_label, {{"label", describe_label(carrier.reading)}}));
  }
}

void find_wrong_numbers(const Case& the_case, Reasons& reasons) {
  for (const SeenCarrier& carrier : the_case.carriers) {
    const Reading& reading = carrier.reading;
    if (!carrier.mismatch.empty())
      reasons.push_back(
          make_reason(ReasonCode::record_mismatch, {{"label", describe_label(reading)}, {"field", carrier.mismatch}}));
    if (!carrier.ours || !the_case.bag || the_case.bag->contents.empty()) continue;
    if (!reading.number || reading.number->empty() || reading.number_is_opaque) continue;
    const bool of_this_bag = carrier.names_bag() && *reading.bag == the_case.bag->id && carrier.mismatch.empty();
    if (!of_this_bag && reading.role != LabelRole::field_tag) continue;
    if (number_in_bag(the_case.records, *the_case.bag, *reading.number) != NumberInBag::no) continue;
    if (reading.role == LabelRole::field_tag) {
      reasons.push_back(make_reason(ReasonCode::wrong_field_tag,
                                    {{"number", *reading.number}, {"bag", group_identity(the_case.bag->id)}}));
    } else {
      reasons.push_back(make_reason(ReasonCode::number_not_in_bag, {{"label", describe_label(reading)},
                                                                    {"number", *reading.number},
                                                                    {"bag", group_identity(the_case.bag->id)}}));
    }
  }
}

}  // namespace

Reasons carriers_disagree(const Case& the_case) {
  Reasons reasons;
  find_several(the_case, reasons);
  find_wrong_tags(the_case, reasons);
  find_wrong_slips(the_case, reasons);
  find_duplicates(the_case, reasons);
  find_wrong_numbers(the_case, reasons);
  return reasons;
}

}  // namespace sherdmark
