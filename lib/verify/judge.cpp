#include "sherdmark/verify/judge.h"

#include <algorithm>
#include <set>

#include "verify/predicates.h"

namespace sherdmark {
namespace {

bool bag_label_seen(const Case& the_case) { return !sheets_seen(the_case, LabelRole::bag).empty(); }
bool tag_seen(const Case& the_case) { return !sheets_seen(the_case, LabelRole::tag).empty(); }

Evidence evidence_of(const Case& the_case) {
  if (!the_case.bag || !(bag_label_seen(the_case) || tag_seen(the_case))) return Evidence::nothing;
  if (!(bag_label_seen(the_case) && tag_seen(the_case))) return Evidence::seen_outside;
  const auto& expected = the_case.expected;
  const bool all_artifacts = std::all_of(expected.begin(), expected.end(),
                                         [](const ExpectedNumber& one) { return one.at_least >= one.artifact.copies; });
  const auto recorded = recorded_pieces(the_case);
  if (all_artifacts && the_case.set.opened_and_counted && recorded && the_case.set.counted_pieces == recorded)
    return Evidence::opened_and_counted;
  return all_artifacts && !expected.empty() ? Evidence::bag_tag_and_artifacts : Evidence::bag_and_tag;
}

// What each of several bags would show; only the reader's help, for nothing is judged by it.
std::int64_t labels_of_bags(const Case& the_case) {
  std::int64_t labels = 0;
  for (const std::string& bag : the_case.bag_ids) {
    for (const LabelRole role : {LabelRole::bag, LabelRole::tag}) {
      std::set<int> sheets;
      for (const PrintRecord& print : the_case.records.live_prints(bag, role)) sheets.insert(print.ordinal);
      if (sheets.empty() && required(the_case, role)) sheets.insert(1);
      labels += static_cast<std::int64_t>(sheets.size());
    }
    for (const ExpectedArtifact& artifact : the_case.records.expected_artifacts(bag)) labels += artifact.copies;
  }
  return labels;
}

std::int64_t labels_expected(const Case& the_case) {
  if (the_case.bag_ids.size() > 1) return labels_of_bags(the_case);
  std::int64_t labels = 0;
  for (const LabelRole role : {LabelRole::bag, LabelRole::tag}) {
    const bool some = the_case.bag && !the_case.records.live_prints(the_case.bag->id, role).empty();
    if (some || required(the_case, role)) labels += static_cast<std::int64_t>(sheets_needed(the_case, role).size());
  }
  for (const ExpectedNumber& expected : the_case.expected) labels += expected.artifact.copies;
  return labels;
}

std::int64_t labels_seen(const Case& the_case) {
  std::int64_t labels = 0;
  for (const SeenCarrier& carrier : the_case.carriers)
    if (carrier.names_bag()) labels += carrier.copies_in_one_picture;
  for (const SeenNumber& seen : the_case.numbers) labels += seen.count.at_least;
  return labels;
}

std::optional<std::int64_t> pieces_unlabelled(const Case& the_case) {
  if (!the_case.bag) return std::nullopt;
  std::int64_t pieces = 0;
  for (const BagContent& content : the_case.bag->contents) {
    if (!content.unlabelled) return std::nullopt;
    pieces += *content.unlabelled;
  }
  return pieces;
}

// The number large on the bag's labels. A sensitive bag's stays out of reports.
std::optional<std::string> number_of_set(const Case& the_case) {
  if (!the_case.bag || the_case.bag->sensitive) return std::nullopt;
  for (const SeenCarrier& carrier : the_case.carriers)
    if (carrier.names_bag() && carrier.ours && carrier.print && carrier.print->subject == the_case.bag->id)
      return carrier.print->number;
  if (the_case.bag->contents.size() == 1) return the_case.bag->contents.front().item;
  return std::nullopt;
}

Reasons all_reasons(const Case& the_case) {
  using Predicate = Reasons (*)(const Case&);
  constexpr Predicate k_in_order[] = {carriers_disagree, artifacts_disagree, is_unknown,  is_unreadable,
                                      is_stale,          is_incomplete,      is_misplaced};
  Reasons reasons;
  for (const Predicate predicate : k_in_order)
    for (Reason& reason : predicate(the_case)) {
      const bool known = std::any_of(reasons.begin(), reasons.end(), [&](const Reason& other) {
        return other.code == reason.code && other.text == reason.text;
      });
      if (!known) reasons.push_back(std::move(reason));
    }
  if (reasons.empty())
    reasons.push_back(make_reason(is_shown_to_agree(the_case) ? ReasonCode::complete : ReasonCode::not_accounted));
  return reasons;
}

}  // namespace

SetVerdict judge(const ReadingSet& set, const CollectionView& records, const HouseStandard& standard) {
  const Case the_case = open_case(set, records, standard);
  SetVerdict verdict;
  verdict.set = set.name;
  verdict.readings = set.readings;
  verdict.images = set.images;
  verdict.notes = set.notes;
  verdict.place_given = set.place_given.value_or("");
  if (set.opened_and_counted) verdict.counted_pieces = set.counted_pieces;
  if (the_case.bag_ids.size() == 1) verdict.bag = the_case.bag_ids.front();
  verdict.number = number_of_set(the_case);
  verdict.reasons = all_reasons(the_case);
  verdict.verdict = verdict.reasons.front().verdict;
  for (Reason& note : notes(the_case)) verdict.reasons.push_back(std::move(note));
  verdict.evidence = evidence_of(the_case);
  verdict.expected = labels_expected(the_case);
  verdict.seen = labels_seen(the_case);
  verdict.unlabelled = pieces_unlabelled(the_case);
  verdict.place_checked = place_was_checked(the_case);
  return verdict;
}

}  // namespace sherdmark
