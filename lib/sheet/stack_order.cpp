#include "sheet/stack_order.h"

#include <algorithm>
#include <cstddef>
#include <limits>
#include <set>
#include <utility>
#include <vector>

#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_none = std::numeric_limits<std::size_t>::max();

std::vector<std::size_t> first_items(const OrderedStack& stack) {
  std::vector<std::size_t> first(stack.row_h_mm.size(), k_none);
  for (const OrderedCell& cell : stack.cells) first[cell.row] = std::min(first[cell.row], cell.item);
  return first;
}

// Of the strips that no column wants below one that is still to come, always the one with the earliest label.
std::vector<std::size_t> rows_in_order(const OrderedStack& stack) {
  std::set<std::pair<std::size_t, std::size_t>> above;  // upper, lower: neighbours in some column
  for (std::size_t i = 1; i < stack.cells.size(); ++i)
    if (stack.cells[i - 1].column == stack.cells[i].column) above.emplace(stack.cells[i - 1].row, stack.cells[i].row);
  const std::vector<std::size_t> first = first_items(stack);
  std::vector<std::size_t> left(first.size());
  for (std::size_t row = 0; row < left.size(); ++row) left[row] = row;
  std::vector<std::size_t> ordered;
  while (!left.empty()) {
    auto next = left.end();
    for (auto row = left.begin(); row != left.end(); ++row) {
      const bool waits = std::ranges::any_of(
          above, [&](const auto& pair) { return pair.second == *row && std::ranges::count(left, pair.first) > 0; });
      if (!waits && (next == left.end() || first[*row] < first[*next])) next = row;
    }
    if (next == left.end()) throw internal_error("rows of a stack that each lie above the other");
    ordered.push_back(*next);
    left.erase(next);
  }
  return ordered;
}

}  // namespace

void put_strips_in_order(OrderedPlan& plan) {
  for (OrderedStack& stack : plan.stacks) {
    const std::vector<std::size_t> rows = rows_in_order(stack);
    std::vector<std::size_t> place(rows.size());
    std::vector<double> heights;
    for (std::size_t at = 0; at < rows.size(); ++at) {
      place[rows[at]] = at;
      heights.push_back(stack.row_h_mm[rows[at]]);
    }
    stack.row_h_mm = std::move(heights);
    for (OrderedCell& cell : stack.cells) cell.row = place[cell.row];
  }
}

bool strips_in_order(const OrderedPlan& plan) {
  std::vector<std::size_t> first;
  for (const OrderedStack& stack : plan.stacks) {
    const std::vector<std::size_t> of_stack = first_items(stack);
    first.insert(first.end(), of_stack.begin(), of_stack.end());
  }
  return std::ranges::is_sorted(first);
}

}  // namespace sherdmark
