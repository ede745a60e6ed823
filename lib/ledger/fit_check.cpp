#include "ledger/fit_check.h"

#include <fmt/format.h>

#include <set>
#include <utility>

#include "sherdmark/sheet/label_fit.h"

namespace sherdmark {

std::vector<Number> numbers_of_labels(const HouseStandard& standard, const Number& item, const RuleOutcome& outcome) {
  if (outcome.decision != LabelDecision::direct || outcome.labels <= 0) return {};
  const Scheme& scheme = standard.scheme(item.scheme());
  if (outcome.numbering != Numbering::sub_numbered || !piece_number(scheme, item, outcome.labels)) return {item};
  std::vector<Number> numbers;
  for (std::int64_t piece = 1; piece <= outcome.labels; ++piece)
    numbers.push_back(piece_number(scheme, item, piece).value());
  return numbers;
}

std::int64_t refuse_too_many(RuleOutcome& outcome) {
  if (outcome.labels <= k_most_labels_of_an_item) return 0;
  const std::int64_t asked = std::exchange(outcome.labels, 0);
  outcome.decision = LabelDecision::tag_only;
  outcome.numbering = Numbering::shared;
  outcome.reason = fmt::format("By this rule it would carry {} labels, and no more than {} are made for one item.",
                               asked, k_most_labels_of_an_item);
  outcome.caution.clear();
  return asked;
}

void FitCheck::check(const CatalogRow& row, RuleOutcome& outcome, std::vector<FittedLabel>& fitted) {
  if (!row.largest_mm) return;
  std::vector<FittedLabel> unusual;
  for (const Number& number : numbers_of_labels(standard_, row.number, outcome)) {
    if (!face_) face_.emplace(Typeface::find(standard_.artifact.font));
    ArtifactLabelFit fit = fit_artifact_label(number, row.largest_mm, standard_, *face_);
    if (!fit.fits) {
      outcome.decision = LabelDecision::tag_only;
      outcome.labels = 0;
      outcome.numbering = Numbering::shared;
      outcome.reason = fmt::format("By this rule it would carry its number, but {}", fit.reason);
      outcome.caution.clear();
      return;
    }
    if (!fit.as_usual)
      unusual.push_back({number.text(), fit.size_pt, std::move(fit.lines), fit.size, std::move(fit.reason)});
  }
  fitted.insert(fitted.end(), std::make_move_iterator(unusual.begin()), std::make_move_iterator(unusual.end()));
}

std::vector<std::string> label_numbers(const HouseStandard& standard, std::span<const CatalogRow> rows) {
  std::vector<std::string> numbers;
  std::set<std::string> known;
  for (const CatalogRow& row : rows) {
    RuleOutcome outcome = decide_label(standard, rule_subject(row));
    refuse_too_many(outcome);
    for (const Number& number : numbers_of_labels(standard, row.number, outcome))
      if (known.insert(number.text()).second) numbers.push_back(number.text());
  }
  return numbers;
}

}  // namespace sherdmark
