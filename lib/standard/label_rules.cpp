#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "sherdmark/base/text.h"
#include "sherdmark/standard/house_standard.h"
#include "sherdmark/standard/privacy.h"
#include "whole_words.h"

namespace sherdmark {
namespace {

constexpr std::array<std::string_view, 5> k_kinds{"artifact", "bulk", "sample", "assembly", "record"};
constexpr std::array<std::string_view, 3> k_decisions{"direct", "tag only", "never"};

bool any_names(const std::vector<std::string>& wanted, std::string_view text) {
  return wanted.empty() ||
         std::any_of(wanted.begin(), wanted.end(), [text](const std::string& words) { return has_words(text, words); });
}

const std::string* shared_flag(const std::vector<std::string>& wanted, const std::vector<std::string>& flags) {
  for (const std::string& flag : wanted)
    for (const std::string& has : flags)
      if (same_flag(has, flag)) return &flag;
  return nullptr;
}

bool size_fits(const LabelRule& rule, const std::optional<double>& largest_mm) {
  if (rule.size_unknown) return !largest_mm;
  if (!rule.at_least_mm && !rule.under_mm) return true;
  if (!largest_mm) return false;
  return (!rule.at_least_mm || *largest_mm >= *rule.at_least_mm) && (!rule.under_mm || *largest_mm < *rule.under_mm);
}

bool matches(const LabelRule& rule, const RuleSubject& subject) {
  const bool kind_fits =
      rule.kinds.empty() || std::find(rule.kinds.begin(), rule.kinds.end(), subject.kind) != rule.kinds.end();
  return kind_fits && any_names(rule.materials, subject.material) && any_names(rule.surfaces, subject.surface) &&
         (rule.any_flag.empty() || shared_flag(rule.any_flag, subject.flags) != nullptr) &&
         size_fits(rule, subject.largest_mm);
}

// The share of the count, rounded up; the least number where the count is larger than the share gives.
std::int64_t label_count(const LabelRule& rule, const RuleSubject& subject) {
  if (!subject.count) return subject.kind == ItemKind::bulk ? rule.sample_least : 1;
  constexpr double k_slack = 1e-9;  // 10 % of 30 is 3, not 3.0000000000000004
  const double share = std::ceil(rule.sample_share * static_cast<double>(*subject.count) - k_slack);
  return std::min(*subject.count, std::max(static_cast<std::int64_t>(share), rule.sample_least));
}

}  // namespace

RuleOutcome decide_label(const HouseStandard& standard, const RuleSubject& subject) {
  RuleOutcome outcome;
  if (const std::string* flag = shared_flag(standard.care_flags, subject.flags)) {
    outcome.decision = LabelDecision::never;
    outcome.rule = "care flags";
    outcome.reason = fmt::format(
        "The care flag \"{}\" allows no label, picture or draw without the consultation the law asks for.", *flag);
    return outcome;
  }
  const auto rule = std::find_if(standard.rules.begin(), standard.rules.end(),
                                 [&subject](const LabelRule& one) { return matches(one, subject); });
  if (rule == standard.rules.end()) {
    outcome.rule = "no rule";
    outcome.reason = "Tag only: no rule of the house standard says otherwise.";
    return outcome;
  }
  outcome.decision = rule->decision;
  outcome.numbering = subject.count.value_or(1) > 1 ? rule->numbering : Numbering::shared;
  outcome.labels = rule->decision == LabelDecision::direct ? label_count(*rule, subject) : 0;
  outcome.rule = rule->name;
  outcome.reason = rule->reason;
  outcome.caution = rule->caution;
  return outcome;
}

std::string_view to_text(ItemKind kind) { return k_kinds.at(static_cast<std::size_t>(kind)); }

std::optional<ItemKind> parse_item_kind(std::string_view text) {
  for (std::size_t i = 0; i < k_kinds.size(); ++i)
    if (k_kinds[i] == text) return static_cast<ItemKind>(i);
  return std::nullopt;
}

std::string_view to_text(LabelDecision decision) { return k_decisions.at(static_cast<std::size_t>(decision)); }

}  // namespace sherdmark
