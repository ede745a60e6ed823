#include "sheet/order_plan.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numeric>
#include <set>

namespace sherdmark {
namespace {

constexpr double k_hair_mm = 1e-6;
constexpr double k_endless = std::numeric_limits<double>::infinity();

constexpr double k_most_search_steps = 1e7;

using Rows = std::vector<double>;  // heights of a stack's strips

// How many heights of strips are told apart, and which numbers of strips are tried, so that large runs stay quick.
struct Choices {
  std::size_t heights = 0;
  bool every_count = true;  // else the gang halved, again and again
};

Choices choices_for(std::size_t labels) {
  if (labels <= 300) return {6, true};
  if (labels <= 2000) return {4, true};
  return {3, false};
}

class OrderPlanner {
 public:
  OrderPlanner(const std::vector<StripItem>& items, const StripSpace& space, const Trimmer& trimmer, double quantum_mm,
               std::size_t search_labels)
      : items_(items), space_(space), trimmer_(trimmer) {
    for (StripItem& item : items_) {
      const double most = std::max(item.w_mm, std::min(item.most_mm, space.width_mm));
      if (quantum_mm > 0) item.w_mm = std::ceil(item.w_mm / quantum_mm - k_hair_mm) * quantum_mm;
      item.w_mm = std::min(item.w_mm, most);
      item.most_mm = std::max({item.most_mm, item.w_mm, item.h_mm});
    }
    if (items_.size() <= search_labels || (search_labels > 0 && all_rows_are_few()))
      add_all_rows();
    else
      add_likely_rows(choices_for(items_.size()));
  }

  [[nodiscard]] OrderedPlan plan() const {
    std::vector<Way> best(items_.size() + 1);
    best[0].seconds = 0;
    for (std::size_t start = 0; start < items_.size(); ++start)
      for (std::size_t rows = 0; rows < rows_.size(); ++rows) try_stack(start, rows, best);
    OrderedPlan plan;
    plan.seconds = best.back().seconds;
    for (std::size_t end = items_.size(); end > 0; end = best[end].start)
      plan.stacks.push_back(make_stack(best[end].start, end, rows_[best[end].rows]));
    std::reverse(plan.stacks.begin(), plan.stacks.end());
    return plan;
  }

 private:
  // The cheapest way to have cut all labels up to some place: where its last stack starts, and that stack's strips.
  struct Way {
    double seconds = k_endless;
    std::size_t start = 0;
    std::size_t rows = 0;
  };
  struct Column {
    std::size_t end = 0;
    double width_mm = 0;
  };

  [[nodiscard]] bool fits_height(const StripItem& item, double height_mm) const {
    return height_mm >= item.h_mm - k_hair_mm &&
           height_mm - item.h_mm <= std::min(trimmer_.most_slack_mm, k_most_higher_mm) + k_hair_mm &&
           height_mm <= item.most_mm + k_hair_mm;
  }

  // As many labels as the next column takes; each comes to lie in the first strip below the one before that it fits.
  [[nodiscard]] Column column_from(std::size_t start, std::size_t last, const Rows& rows,
                                   const std::function<void(std::size_t, std::size_t)>& place = {}) const {
    Column column{start, 0};
    double narrowest = k_endless, most = k_endless;
    for (std::size_t row = 0; column.end < last; ++row, ++column.end) {
      const StripItem& item = items_[column.end];
      while (row < rows.size() && !fits_height(item, rows[row])) ++row;
      if (row >= rows.size()) break;
      const double width = std::max(column.width_mm, item.w_mm);
      narrowest = std::min(narrowest, item.w_mm);
      most = std::min(most, item.most_mm);
      if (width - narrowest > trimmer_.most_slack_mm + k_hair_mm || width > most + k_hair_mm) break;
      column.width_mm = width;
      if (place) place(column.end, row);
    }
    return column;
  }

  void try_stack(std::size_t start, std::size_t rows, std::vector<Way>& best) const {
    double width = 0;
    std::size_t at = start;
    for (std::size_t columns = 1; at < items_.size(); ++columns) {
      const Column column = column_from(at, items_.size(), rows_[rows]);
      width += column.width_mm;
      if (column.end == at || width > space_.width_mm + k_hair_mm) return;
      const double seconds = best[start].seconds + stack_seconds(rows_[rows], columns, space_, trimmer_);
      while (at < column.end)  // the stack may end anywhere in its last column
        if (Way& way = best[++at]; seconds < way.seconds - 1e-9) way = {seconds, start, rows};
    }
  }

  [[nodiscard]] OrderedStack make_stack(std::size_t start, std::size_t end, const Rows& rows) const {
    OrderedStack stack{rows, {}, {}};
    for (std::size_t at = start; at < end;) {
      const Column column = column_from(at, end, rows, [&](std::size_t item, std::size_t row) {
        stack.cells.push_back({item, row, stack.column_w_mm.size()});
      });
      stack.column_w_mm.push_back(column.width_mm);
      at = column.end;
    }
    return stack;
  }

  [[nodiscard]] std::size_t most_rows() const {
    return std::min(items_.size(), static_cast<std::size_t>(std::max(1, trimmer_.gang)));
  }

  // Few enough that trying them all takes a moment: their number by the number of labels, squared.
  [[nodiscard]] bool all_rows_are_few() const {
    std::set<double> heights;
    for (const StripItem& item : items_) heights.insert(item.h_mm);
    double ways = 0, of_this_count = 1;
    for (std::size_t rows = 1; rows <= most_rows(); ++rows)
      ways += of_this_count *= static_cast<double>(heights.size());
    const auto labels = static_cast<double>(items_.size());
    return ways * labels * labels <= k_most_search_steps;
  }

  void add_all_rows() {
    std::set<double> heights;
    for (const StripItem& item : items_) heights.insert(item.h_mm);
    Rows rows;
    const std::function<void()> add = [&] {
      if (!rows.empty()) rows_.push_back(rows);
      if (rows.size() == most_rows()) return;
      for (const double height : heights) {
        rows.push_back(height);
        add();
        rows.pop_back();
      }
    };
    add();
  }

  // Heights that leave every label a strip it fits; the ones nearest to the next larger are given up first.
  [[nodiscard]] std::vector<double> heights_told_apart(std::size_t most) const {
    std::set<double> all;
    for (const StripItem& item : items_) all.insert(item.h_mm);
    std::vector<double> heights(all.begin(), all.end());
    const auto each_has_one = [&](const std::vector<double>& left) {
      return std::all_of(items_.begin(), items_.end(), [&](const StripItem& item) {
        return std::any_of(left.begin(), left.end(), [&](double height) { return fits_height(item, height); });
      });
    };
    while (heights.size() > most) {
      std::vector<std::size_t> by_gap(heights.size() - 1);
      std::iota(by_gap.begin(), by_gap.end(), 0U);
      std::stable_sort(by_gap.begin(), by_gap.end(), [&](std::size_t a, std::size_t b) {
        return heights[a + 1] - heights[a] < heights[b + 1] - heights[b];
      });
      const auto spare = std::find_if(by_gap.begin(), by_gap.end(), [&](std::size_t i) {
        std::vector<double> left = heights;
        left.erase(left.begin() + static_cast<std::ptrdiff_t>(i));
        return each_has_one(left);
      });
      if (spare == by_gap.end()) break;  // objects so different that each height is needed
      heights.erase(heights.begin() + static_cast<std::ptrdiff_t>(*spare));
    }
    return heights;
  }

  void add_likely_rows(const Choices& choices) {
    const std::vector<double> heights = heights_told_apart(choices.heights);
    for (std::size_t count = most_rows(); count > 0; count = choices.every_count ? count - 1 : count / 2)
      for (std::size_t low = 0; low < heights.size(); ++low) {
        rows_.emplace_back(count, heights[low]);
        for (std::size_t a = low + 1; a < heights.size() && count > 1; ++a) {
          rows_.emplace_back(count, heights[low]);
          rows_.back()[count - 1] = heights[a];
          for (std::size_t b = a; b < heights.size() && count > 2; ++b) {
            rows_.emplace_back(count, heights[low]);
            rows_.back()[count - 2] = heights[a];
            rows_.back()[count - 1] = heights[b];
          }
        }
      }
  }

  std::vector<StripItem> items_;
  StripSpace space_;
  Trimmer trimmer_;
  std::vector<Rows> rows_;  // the strips a stack may have
};

}  // namespace

double stack_seconds(const std::vector<double>& row_h_mm, std::size_t columns, const StripSpace& space,
                     const Trimmer& trimmer) {
  const double height = std::accumulate(row_h_mm.begin(), row_h_mm.end(), 0.0);
  return static_cast<double>(row_h_mm.size() + columns + 1) * trimmer.stroke_seconds +
         trimmer.sheet_seconds * height / space.height_mm + (row_h_mm.size() > 1 ? trimmer.square_up_seconds : 0.0);
}

OrderedPlan plan_in_order(const std::vector<StripItem>& items, const StripSpace& space, const Trimmer& trimmer,
                          double quantum_mm, std::size_t search_labels) {
  return OrderPlanner{items, space, trimmer, quantum_mm, search_labels}.plan();
}

}  // namespace sherdmark
