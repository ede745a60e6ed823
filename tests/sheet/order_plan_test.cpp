// Labels strictly in bench order, at the fewest strokes: against brute force on thousands of small cases.
#include "sheet/order_plan.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <functional>
#include <limits>
#include <map>
#include <numeric>
#include <set>

#include "sherdmark/base/random.h"

namespace sherdmark {
namespace {

// Counted afresh; also checks that labels come off in order and that no cell is too small or too large for its label.
double counted(const OrderedPlan& plan, const std::vector<StripItem>& items, const StripSpace& space,
               const Trimmer& trimmer) {
  double seconds = 0;
  std::size_t next = 0;
  for (const OrderedStack& stack : plan.stacks) {
    EXPECT_LE(stack.row_h_mm.size(), static_cast<std::size_t>(trimmer.gang));
    EXPECT_LE(std::accumulate(stack.column_w_mm.begin(), stack.column_w_mm.end(), 0.0), space.width_mm + 1e-6);
    std::set<std::size_t> rows_used;
    std::pair<std::size_t, std::size_t> last{0, 0};
    for (const OrderedCell& cell : stack.cells) {
      EXPECT_EQ(cell.item, next++) << "as the strokes take them off";
      const std::pair at{cell.column, cell.row};
      if (&cell != &stack.cells.front()) {
        EXPECT_GT(at, last);
      }
      last = at;
      rows_used.insert(cell.row);
      const StripItem& item = items[cell.item];
      const double w = stack.column_w_mm.at(cell.column), h = stack.row_h_mm.at(cell.row);
      EXPECT_GE(w, item.w_mm - 1e-9);
      EXPECT_GE(h, item.h_mm - 1e-9);
      EXPECT_LE(w - item.w_mm, trimmer.most_slack_mm + 1e-6);
      EXPECT_LE(h - item.h_mm, k_most_higher_mm + 1e-6);
      EXPECT_LE(std::max(w, h), std::max({item.most_mm, item.w_mm, item.h_mm}) + 1e-6);
    }
    EXPECT_EQ(rows_used.size(), stack.row_h_mm.size()) << "a strip for nothing";
    seconds += trimmer.stroke_seconds * static_cast<double>(stack.row_h_mm.size() + stack.column_w_mm.size() + 1);
    for (const double h : stack.row_h_mm) seconds += trimmer.sheet_seconds * h / space.height_mm;
    if (stack.row_h_mm.size() > 1) seconds += trimmer.square_up_seconds;
  }
  EXPECT_EQ(next, items.size());
  return seconds;
}

// Every label in turn: at any later strip of the same column, in a new column, or in a new stack, whose strips are
// known only when all have been placed. Strips are as high, and columns as wide, as what came to lie in them.
class BruteForce {
 public:
  BruteForce(const std::vector<StripItem>& items, const StripSpace& space, const Trimmer& trimmer)
      : items_(items), space_(space), trimmer_(trimmer) {}
  double least() {
    new_stack(0, 0);
    return best_;
  }

 private:
  struct Place {
    std::size_t item, row, column;
  };
  void new_stack(std::size_t item, double before) {
    before_ = before;
    placed_.clear();
    put(item, 0, 0);
  }
  void put(std::size_t item, std::size_t column, std::size_t row) {
    if (!placed_.empty()) {
      const double seconds = stack_cost();
      if (before_ + seconds < best_) {
        if (item == items_.size()) {
          best_ = before_ + seconds;
        } else {
          const auto kept = placed_;
          const double kept_before = before_;
          new_stack(item, before_ + seconds);
          placed_ = kept;
          before_ = kept_before;
        }
      }
    }
    if (item == items_.size()) return;
    const auto rows = static_cast<std::size_t>(trimmer_.gang);
    for (std::size_t r = row; r < rows; ++r) try_at(item, r, column);
    if (!placed_.empty() && placed_.back().column == column)
      for (std::size_t r = 0; r < rows; ++r) try_at(item, r, column + 1);
  }
  void try_at(std::size_t item, std::size_t row, std::size_t column) {
    placed_.push_back({item, row, column});
    put(item + 1, column, row + 1);
    placed_.pop_back();
  }
  double stack_cost() const {
    std::map<std::size_t, double> heights, widths;
    for (const Place& one : placed_) {
      heights[one.row] = std::max(heights[one.row], items_[one.item].h_mm);
      widths[one.column] = std::max(widths[one.column], items_[one.item].w_mm);
    }
    double across = 0;
    for (const auto& [column, w] : widths) across += w;
    if (across > space_.width_mm) return std::numeric_limits<double>::infinity();
    for (const Place& one : placed_) {
      const StripItem& item = items_[one.item];
      const double w = widths[one.column], h = heights[one.row];
      if (w - item.w_mm > trimmer_.most_slack_mm + 1e-6 ||
          h - item.h_mm > std::min(trimmer_.most_slack_mm, k_most_higher_mm) + 1e-6 ||
          std::max(w, h) > item.most_mm + 1e-6)
        return std::numeric_limits<double>::infinity();
    }
    double seconds = trimmer_.stroke_seconds * static_cast<double>(heights.size() + widths.size() + 1);
    for (const auto& [row, h] : heights) seconds += trimmer_.sheet_seconds * h / space_.height_mm;
    return seconds + (heights.size() > 1 ? trimmer_.square_up_seconds : 0.0);
  }

  const std::vector<StripItem>& items_;
  StripSpace space_;
  Trimmer trimmer_;
  std::vector<Place> placed_;
  double before_ = 0;
  double best_ = std::numeric_limits<double>::infinity();
};

Trimmer random_trimmer(SeededRandom& random) {
  Trimmer trimmer;
  trimmer.gang = 1 + static_cast<int>(random.below(3));
  trimmer.most_slack_mm = 1.0 + static_cast<double>(random.below(8));
  trimmer.stroke_seconds = 1.0 + static_cast<double>(random.below(10));
  trimmer.square_up_seconds = static_cast<double>(random.below(20));
  trimmer.sheet_seconds = static_cast<double>(random.below(200));
  return trimmer;
}

std::vector<StripItem> random_items(SeededRandom& random, std::size_t count) {
  std::vector<StripItem> items;
  for (std::size_t i = 0; i < count; ++i) {
    StripItem item{6.0 + static_cast<double>(random.below(10)), 3.0 + 0.75 * static_cast<double>(random.below(4)), i};
    if (random.below(3) == 0) item.most_mm = std::max(item.w_mm, item.h_mm) + static_cast<double>(random.below(4));
    items.push_back(item);
  }
  return items;
}

TEST(OrderPlan, no_order_keeping_plan_is_cheaper_in_2000_small_cases) {
  SeededRandom random{5081};
  for (int round = 0; round < 2000; ++round) {
    const Trimmer trimmer = random_trimmer(random);
    const StripSpace space{200, 100};
    const std::vector<StripItem> items = random_items(random, 1 + random.below(4));
    const OrderedPlan plan = plan_in_order(items, space, trimmer, 0);
    ASSERT_NEAR(plan.seconds, counted(plan, items, space, trimmer), 1e-6) << "round " << round;
    ASSERT_NEAR(plan.seconds, (BruteForce{items, space, trimmer}.least()), 1e-6) << "round " << round;
  }
}

TEST(OrderPlan, large_runs_keep_the_order_and_every_bound_and_cost_little_more_than_the_search) {
  SeededRandom random{11};
  double searched = 0, likely = 0;
  for (int round = 0; round < 300; ++round) {
    const Trimmer trimmer = random_trimmer(random);
    const StripSpace space{60, 100};
    const std::vector<StripItem> few = random_items(random, 6);
    searched += plan_in_order(few, space, trimmer, 0).seconds;
    const OrderedPlan quick = plan_in_order(few, space, trimmer, 0, 0);
    likely += quick.seconds;
    ASSERT_NEAR(quick.seconds, counted(quick, few, space, trimmer), 1e-6);
    if (round % 10 != 0) continue;
    const std::vector<StripItem> many = random_items(random, 400);
    const OrderedPlan plan = plan_in_order(many, space, trimmer, 0.25);
    ASSERT_NEAR(plan.seconds, counted(plan, many, space, trimmer), 1e-6) << "round " << round;
  }
  EXPECT_GE(likely, searched - 1e-6);
  EXPECT_LE(likely, searched * 1.03);
}

TEST(OrderPlan, labels_of_one_size_cost_a_stroke_for_each_strip_and_each_column) {
  const Trimmer trimmer;  // a gang of eight
  const std::vector<StripItem> items(112, StripItem{12, 3.1});
  const OrderedPlan plan = plan_in_order(items, {180, 200}, trimmer, 0.25);
  ASSERT_EQ(plan.stacks.size(), 1U);
  EXPECT_EQ(plan.stacks[0].row_h_mm.size(), 8U);
  EXPECT_EQ(plan.stacks[0].column_w_mm.size(), 14U);
}

}  // namespace
}  // namespace sherdmark
