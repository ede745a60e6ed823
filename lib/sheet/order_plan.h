// Labels that come off the trimmer strictly in bench order, and still many at a stroke.
//
// A stack is up to `gang` strips, squared up and cut together: every stroke takes off one label of each strip, the top
// one first. So the labels of a stack run from strip to strip down its first column, then down the next one: what falls
// off, laid one pile under the other, is in bench order. Columns of a stack may differ in width and its strips in
// height, and a place may stay empty, so that a label with more lines costs a stroke more instead of a strip of its
// own.
#pragma once

#include <cstddef>
#include <vector>

#include "sheet/strip_plan.h"

namespace sherdmark {

// A label may be longer than its text needs, as the trimmer's slack allows, but hardly higher: one line stays a strip
// of paper as low as it can be on its object, whatever its neighbours have.
inline constexpr double k_most_higher_mm = 2.0;

struct OrderedCell {
  std::size_t item = 0;
  std::size_t row = 0;  // strip of the stack, from the top
  std::size_t column = 0;
};

struct OrderedStack {
  std::vector<double> row_h_mm;
  std::vector<double> column_w_mm;
  std::vector<OrderedCell> cells;  // in bench order
};

struct OrderedPlan {
  std::vector<OrderedStack> stacks;
  double seconds = 0;  // as StripPlan's
};

// Every item must fit the space. Widths are rounded up to `quantum_mm` first (0: left alone). Stacks and their columns
// are chosen by dynamic programming over the places where one may end. Up to `search_labels` labels, and for more where
// the heights are few, the strips of a stack are tried in every combination of heights, and the plan is the cheapest
// there is as long as its stacks are not as wide as the paper; otherwise, and when search_labels is 0, all strips but
// at most two have one height.
inline constexpr std::size_t k_search_labels = 6;
[[nodiscard]] OrderedPlan plan_in_order(const std::vector<StripItem>& items, const StripSpace& space,
                                        const Trimmer& trimmer, double quantum_mm,
                                        std::size_t search_labels = k_search_labels);

// A stroke for each strip and its share of the paper, a stroke before the first column and one after each, and squaring
// up two strips or more.
[[nodiscard]] double stack_seconds(const std::vector<double>& row_h_mm, std::size_t columns, const StripSpace& space,
                                   const Trimmer& trimmer);

}  // namespace sherdmark
