// unreadable: a label was seen but not read surely, or what it says leads to several things.
#include "sherdmark/base/text.h"
#include "verify/predicates.h"

namespace sherdmark {
namespace {

Reason explain(const UnsureReading& unsure) {
  switch (unsure.why) {
    case ReasonCode::newer_format:
    case ReasonCode::micro_code_conflict:
      return make_reason(unsure.why);
    case ReasonCode::serial_not_read:
      return make_reason(unsure.why, {{"label", describe_label(unsure.reading)}, {"field", unsure.missing_field}});
    default:
      return make_reason(unsure.why, {{"label", describe_label(unsure.reading)}});
  }
}

void judge_carrier_number(const Case& the_case, const SeenCarrier& carrier, Reasons& reasons) {
  const Reading& reading = carrier.reading;
  if (!carrier.bag || !reading.number || reading.number->empty() || reading.number_is_opaque) return;
  if (number_in_bag(the_case.records, *carrier.bag, *reading.number) == NumberInBag::ambiguous)
    reasons.push_back(make_reason(ReasonCode::ambiguous_former_number,
                                  {{"number", *reading.number}, {"role", std::string{to_text(reading.role)}}}));
}

void judge_artifact(const SeenNumber& seen, Reasons& reasons) {
  const std::string& number = seen.count.number;
  if (seen.belonging == Belonging::not_an_item)
    reasons.push_back(make_reason(ReasonCode::not_an_item_number, {{"number", number}}));
  if (seen.belonging == Belonging::reused)
    reasons.push_back(make_reason(ReasonCode::reused_number, {{"number", number},
                                                              {"role", "artifact label"},
                                                              {"item", seen.record.items.front()},
                                                              {"other", join(seen.record.formerly, ", ")}}));
  const bool several = seen.record.meaning == NumberMeaning::former_number && seen.record.items.size() > 1;
  if (seen.belonging == Belonging::ambiguous || (seen.belonging == Belonging::bag_unknown && several))
    reasons.push_back(
        make_reason(ReasonCode::ambiguous_former_number, {{"number", number}, {"role", "artifact label"}}));
}

void judge_count(const ExpectedNumber& expected, Reasons& reasons) {
  if (expected.at_most > expected.artifact.copies && expected.at_least <= expected.artifact.copies)
    reasons.push_back(make_reason(ReasonCode::copies_not_told_apart, {{"number", expected.artifact.number},
                                                                      {"seen", std::to_string(expected.at_least)},
                                                                      {"most", std::to_string(expected.at_most)}}));
  const bool made_up_by_crops =
      expected.at_least < expected.artifact.copies && expected.at_most >= expected.artifact.copies;
  if (expected.keyed_in_doubt && made_up_by_crops)
    reasons.push_back(make_reason(ReasonCode::keyed_copies, {{"number", expected.artifact.number},
                                                             {"seen", std::to_string(expected.at_least)},
                                                             {"expected", std::to_string(expected.artifact.copies)}}));
}

void judge_old_labels(const UnlabelledItem& one, Reasons& reasons) {
  if (one.pieces && one.at_most > *one.pieces && one.at_least <= *one.pieces)
    reasons.push_back(make_reason(
        ReasonCode::copies_not_told_apart,
        {{"number", one.item}, {"seen", std::to_string(one.at_least)}, {"most", std::to_string(one.at_most)}}));
}

}  // namespace

Reasons is_unreadable(const Case& the_case) {
  Reasons reasons;
  for (const UnsureReading& unsure : the_case.unsure) reasons.push_back(explain(unsure));
  for (const SeenCarrier& carrier : the_case.carriers) judge_carrier_number(the_case, carrier, reasons);
  for (const SeenNumber& seen : the_case.numbers) judge_artifact(seen, reasons);
  for (const ExpectedNumber& expected : the_case.expected) judge_count(expected, reasons);
  for (const UnlabelledItem& one : the_case.unlabelled) judge_old_labels(one, reasons);
  return reasons;
}

}  // namespace sherdmark
