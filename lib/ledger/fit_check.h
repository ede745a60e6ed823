// Whether an item's labels fit its objects: the last word on what the rules decided. Private to the planner.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "sherdmark/ledger/plan_labels.h"

namespace sherdmark {

// The numbers that an item's labels would carry: its own, or one for each piece.
[[nodiscard]] std::vector<Number> numbers_of_labels(const HouseStandard& standard, const Number& item,
                                                    const RuleOutcome& outcome);

// A label is stuck on by hand: who labels more pieces of one item than this has mistyped its count.
constexpr std::int64_t k_most_labels_of_an_item = 10'000;

// Turns the outcome into "tag only" when its rule asks for more than that; then how many it asks for, otherwise 0.
std::int64_t refuse_too_many(RuleOutcome& outcome);

class FitCheck {
 public:
  explicit FitCheck(const HouseStandard& standard) : standard_(standard) {}

  // Turns the outcome into "tag only" when a label does not fit; notes each label that is not as usual.
  void check(const CatalogRow& row, RuleOutcome& outcome, std::vector<FittedLabel>& fitted);

 private:
  const HouseStandard& standard_;
  std::optional<Typeface> face_;  // found when the first measured item asks for it
};

}  // namespace sherdmark
