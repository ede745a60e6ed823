// disagree: artifacts that do not belong in the bag, or more of them than belong there.
#include <algorithm>

#include "sherdmark/base/text.h"
#include "sherdmark/ledger/identity.h"
#include "verify/predicates.h"

namespace sherdmark {
namespace {

std::string where_recorded(const Case& the_case, const SeenNumber& seen) {
  std::vector<std::string> bags;
  for (const std::string& item : seen.record.items)
    for (std::string& bag : the_case.records.bags_of_item(item))
      if (std::find(bags.begin(), bags.end(), bag) == bags.end()) bags.push_back(std::move(bag));
  if (seen.record.items.empty())
    for (std::string& bag : the_case.records.bags_of_item(seen.count.number)) bags.push_back(std::move(bag));
  if (bags.empty()) return "no bag";
  for (std::string& bag : bags) bag = group_identity(bag);
  return (bags.size() == 1 ? "bag " : "bags ") + join(bags, ", ");
}

void judge_number(const Case& the_case, const SeenNumber& seen, Reasons& reasons) {
  const std::string& number = seen.count.number;
  if (seen.record.never_label) reasons.push_back(make_reason(ReasonCode::never_label, {{"number", number}}));
  if (seen.belonging == Belonging::elsewhere)
    reasons.push_back(make_reason(
        ReasonCode::foreign_artifact,
        {{"number", number}, {"bag", group_identity(the_case.bag->id)}, {"where", where_recorded(the_case, seen)}}));
  if (seen.belonging == Belonging::not_expected && !seen.record.never_label)
    reasons.push_back(
        make_reason(ReasonCode::unexpected_label, {{"number", number}, {"bag", group_identity(the_case.bag->id)}}));
}

void judge_copies(const Case& the_case, Reasons& reasons) {
  for (const SeenNumber& seen : the_case.numbers) {
    if (seen.belonging != Belonging::expected && seen.belonging != Belonging::former) continue;
    for (const ExpectedNumber& expected : the_case.expected) {
      if (expected.artifact.number != seen.stands_for) continue;
      const std::int64_t live = seen.live_copies();
      const bool by_print = seen.belonging == Belonging::expected && live > 0;
      const std::int64_t most = by_print ? std::min(expected.artifact.copies, live) : expected.artifact.copies;
      if (seen.count.at_least > most)
        reasons.push_back(make_reason(ReasonCode::too_many_copies, {{"seen", std::to_string(seen.count.at_least)},
                                                                    {"number", seen.count.number},
                                                                    {"expected", std::to_string(most)},
                                                                    {"bag", group_identity(the_case.bag->id)}}));
    }
  }
}

// Old labels on pieces that carry none of ours: no more of one number than there are pieces.
void judge_old_labels(const Case& the_case, Reasons& reasons) {
  for (const SeenNumber& seen : the_case.numbers) {
    if (seen.belonging != Belonging::former_unlabelled) continue;
    for (const UnlabelledItem& one : the_case.unlabelled)
      if (one.item == seen.record.items.front() && one.pieces && seen.count.at_least > *one.pieces)
        reasons.push_back(make_reason(ReasonCode::too_many_copies, {{"seen", std::to_string(seen.count.at_least)},
                                                                    {"number", seen.count.number},
                                                                    {"expected", std::to_string(*one.pieces)},
                                                                    {"bag", group_identity(the_case.bag->id)}}));
  }
}

// Without a bag label or tag, artifacts can still contradict each other.
void find_no_common_bag(const Case& the_case, Reasons& reasons) {
  if (!the_case.bag_ids.empty()) return;
  std::vector<std::string> common;
  std::string first;
  for (const SeenNumber& seen : the_case.numbers) {
    const bool one_thing = seen.record.meaning == NumberMeaning::item || seen.record.meaning == NumberMeaning::piece;
    if (!one_thing) continue;
    const std::string& item = seen.record.items.size() == 1 ? seen.record.items.front() : seen.count.number;
    std::vector<std::string> bags = the_case.records.bags_of_item(item);
    if (first.empty()) {
      first = seen.count.number;
      common = std::move(bags);
      continue;
    }
    std::erase_if(common,
                  [&](const std::string& bag) { return std::find(bags.begin(), bags.end(), bag) == bags.end(); });
    if (common.empty()) {
      reasons.push_back(make_reason(ReasonCode::no_common_bag, {{"number", first}, {"other", seen.count.number}}));
      return;
    }
  }
}

void find_pieces_over(const Case& the_case, Reasons& reasons) {
  const auto recorded = recorded_pieces(the_case);
  if (!the_case.set.opened_and_counted || !the_case.set.counted_pieces || !recorded) return;
  if (*the_case.set.counted_pieces > *recorded)
    reasons.push_back(make_reason(ReasonCode::pieces_over, {{"seen", std::to_string(*the_case.set.counted_pieces)},
                                                            {"expected", std::to_string(*recorded)},
                                                            {"bag", group_identity(the_case.bag->id)}}));
}

}  // namespace

Reasons artifacts_disagree(const Case& the_case) {
  Reasons reasons;
  for (const SeenNumber& seen : the_case.numbers) judge_number(the_case, seen, reasons);
  judge_copies(the_case, reasons);
  judge_old_labels(the_case, reasons);
  find_no_common_bag(the_case, reasons);
  find_pieces_over(the_case, reasons);
  return reasons;
}

}  // namespace sherdmark
