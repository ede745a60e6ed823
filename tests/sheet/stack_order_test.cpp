// Which strip of a stack comes off the sheet first.
#include "sheet/stack_order.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace sherdmark {
namespace {

std::vector<double> heights(const OrderedPlan& plan) { return plan.stacks.front().row_h_mm; }

TEST(StackOrder, a_high_strip_with_an_early_label_of_its_own_comes_off_early) {
  OrderedPlan plan{{{{3, 4, 5}, {10, 6}, {{0, 0, 0}, {2, 1, 0}, {1, 2, 1}}}}, 0};
  EXPECT_FALSE(strips_in_order(plan));
  put_strips_in_order(plan);
  EXPECT_TRUE(strips_in_order(plan));
  EXPECT_EQ(heights(plan), (std::vector<double>{3, 5, 4}));
  for (const OrderedCell& cell : plan.stacks.front().cells) EXPECT_EQ(cell.row, cell.item);
}

TEST(StackOrder, labels_of_one_column_lie_from_the_top_down_as_they_did_whatever_that_does_to_the_strips) {
  OrderedPlan plan{{{{3, 4, 5}, {10}, {{0, 0, 0}, {2, 1, 0}, {1, 2, 0}}}}, 0};
  put_strips_in_order(plan);
  EXPECT_EQ(heights(plan), (std::vector<double>{3, 4, 5}));
  EXPECT_FALSE(strips_in_order(plan)) << "such a plan is left out";
}

TEST(StackOrder, a_strip_that_begins_before_one_of_the_stack_above_is_found_out) {
  OrderedPlan plan{{{{3, 3}, {10}, {{0, 0, 0}, {2, 1, 0}}}, {{5}, {10}, {{1, 0, 0}}}}, 0};
  put_strips_in_order(plan);
  EXPECT_FALSE(strips_in_order(plan));
  std::swap(plan.stacks[0].cells[1].item, plan.stacks[1].cells[0].item);
  EXPECT_TRUE(strips_in_order(plan));
}

}  // namespace
}  // namespace sherdmark
