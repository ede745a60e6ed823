// unknown: read well, but another collection's, or this collection's and no record.
#include "sherdmark/ledger/identity.h"
#include "verify/predicates.h"

namespace sherdmark {
namespace {

void judge_carrier_number(const Case& the_case, const SeenCarrier& carrier, Reasons& reasons) {
  const Reading& reading = carrier.reading;
  const bool names_number = carrier.names_bag() || reading.role == LabelRole::field_tag;
  if (!names_number || !reading.number || reading.number->empty() || reading.number_is_opaque) return;
  const BagRecord none{};
  const BagRecord& bag = carrier.bag ? *carrier.bag : (the_case.bag ? *the_case.bag : none);
  const NumberInBag standing = number_in_bag(the_case.records, bag, *reading.number);
  const ReasonValues values{{"number", *reading.number}, {"role", std::string{to_text(reading.role)}}};
  if (standing == NumberInBag::no_record) reasons.push_back(make_reason(ReasonCode::no_number_record, values));
  if (standing == NumberInBag::unbound) reasons.push_back(make_reason(ReasonCode::unbound_field_number, values));
}

}  // namespace

Reasons is_unknown(const Case& the_case) {
  Reasons reasons;
  for (const SeenCarrier& carrier : the_case.carriers) {
    const std::string label = describe_label(carrier.reading);
    if (!carrier.ours) {
      reasons.push_back(make_reason(ReasonCode::another_collection,
                                    {{"label", label}, {"key", carrier.reading.collection_key.value_or("")}}));
      continue;
    }
    if (carrier.names_bag() && !carrier.bag)
      reasons.push_back(
          make_reason(ReasonCode::no_bag_record, {{"label", label}, {"bag", group_identity(*carrier.reading.bag)}}));
    if (!carrier.print) reasons.push_back(make_reason(ReasonCode::no_print_record, {{"label", label}}));
    judge_carrier_number(the_case, carrier, reasons);
  }
  for (const SeenNumber& seen : the_case.numbers) {
    const bool never_made = seen.belonging == Belonging::expected && !seen.label;
    if (seen.belonging == Belonging::no_record)
      reasons.push_back(
          make_reason(ReasonCode::no_number_record, {{"number", seen.count.number}, {"role", "artifact label"}}));
    if (never_made)
      reasons.push_back(make_reason(ReasonCode::no_print_record, {{"label", "artifact label " + seen.count.number}}));
  }
  return reasons;
}

}  // namespace sherdmark
