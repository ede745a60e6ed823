// The plan for the trimmer is the cheapest there is: against brute force on thousands of small cases.
#include "sheet/strip_plan.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <functional>
#include <limits>
#include <map>
#include <set>

#include "sherdmark/base/random.h"

namespace sherdmark {
namespace {

// Cost of a plan counted afresh from its strips and gangs; also checks that it is a plan at all.
double counted(const StripPlan& plan, const std::vector<StripItem>& items, const StripSpace& space,
               const Trimmer& trimmer) {
  std::map<std::size_t, std::vector<const PlannedStrip*>> gangs;
  std::set<std::size_t> seen;
  for (const PlannedStrip& strip : plan.strips) {
    gangs[strip.gang].push_back(&strip);
    EXPECT_LE(strip.cell_w_mm * static_cast<double>(strip.items.size()), space.width_mm + 1e-6);
    EXPECT_TRUE(std::is_sorted(strip.items.begin(), strip.items.end()));
    for (const std::size_t item : strip.items) {
      EXPECT_TRUE(seen.insert(item).second);
      EXPECT_LE(items[item].w_mm, strip.cell_w_mm + 1e-9);
      EXPECT_LE(items[item].h_mm, strip.cell_h_mm + 1e-9);
      EXPECT_LE(strip.cell_w_mm - items[item].w_mm, trimmer.most_slack_mm + 1e-6);
    }
  }
  EXPECT_EQ(seen.size(), items.size());
  double seconds = 0;
  for (const auto& [number, strips] : gangs) {
    EXPECT_LE(static_cast<int>(strips.size()), trimmer.gang);
    std::size_t cells = 0;
    for (const PlannedStrip* strip : strips) {
      EXPECT_EQ(strip->cell_w_mm, strips[0]->cell_w_mm);
      EXPECT_EQ(strip->cell_h_mm, strips[0]->cell_h_mm);
      cells = std::max(cells, strip->items.size());
      seconds += trimmer.stroke_seconds + trimmer.sheet_seconds * strip->cell_h_mm / space.height_mm;
    }
    seconds += static_cast<double>(cells + 1) * trimmer.stroke_seconds;
    if (strips.size() > 1) seconds += trimmer.square_up_seconds;
  }
  return seconds;
}

// Every way to cut `count` labels of one cell size: all strips, all gangs of neighbouring strips.
double all_gangs(std::size_t count, double cell_w, double cell_h, const StripSpace& space, const Trimmer& trimmer) {
  const auto most_cells = static_cast<std::size_t>(space.width_mm / cell_w + 1e-6);
  double best = std::numeric_limits<double>::infinity();
  std::vector<std::size_t> strips;
  const std::function<void(std::size_t, double)> ganged = [&](std::size_t at, double seconds) {
    if (at == strips.size()) {
      best = std::min(best, seconds);
      return;
    }
    std::size_t cells = 0;
    for (std::size_t n = 1; n <= static_cast<std::size_t>(trimmer.gang) && at + n <= strips.size(); ++n) {
      cells = std::max(cells, strips[at + n - 1]);
      ganged(at + n,
             seconds +
                 static_cast<double>(n) * (trimmer.stroke_seconds + trimmer.sheet_seconds * cell_h / space.height_mm) +
                 (n > 1 ? trimmer.square_up_seconds : 0.0) + static_cast<double>(cells + 1) * trimmer.stroke_seconds);
    }
  };
  const std::function<void(std::size_t)> cut = [&](std::size_t left) {
    if (left == 0) {
      ganged(0, 0);
      return;
    }
    for (std::size_t n = 1; n <= std::min(left, most_cells); ++n) {
      strips.push_back(n);
      cut(left - n);
      strips.pop_back();
    }
  };
  cut(count);
  return best;
}

// Every way to put the labels into classes, not only intervals; labels of one group stay together.
double brute_force(const std::vector<StripItem>& items, const StripSpace& space, const Trimmer& trimmer) {
  double best = std::numeric_limits<double>::infinity();
  std::vector<std::vector<std::size_t>> classes;
  std::map<std::pair<std::size_t, double>, double> known;
  const auto cost = [&](const std::vector<std::size_t>& members) {
    double widest = 0;
    double narrowest = std::numeric_limits<double>::infinity();
    for (const std::size_t i : members) {
      widest = std::max(widest, items[i].w_mm);
      narrowest = std::min(narrowest, items[i].w_mm);
    }
    if (widest - narrowest > trimmer.most_slack_mm + 1e-6) return std::numeric_limits<double>::infinity();
    auto [entry, is_new] = known.try_emplace({members.size(), widest}, 0.0);
    if (is_new) entry->second = all_gangs(members.size(), widest, items[0].h_mm, space, trimmer);
    return entry->second;
  };
  const std::function<void(std::size_t)> put = [&](std::size_t at) {
    if (at == items.size()) {
      double seconds = 0;
      for (const auto& members : classes) seconds += cost(members);
      best = std::min(best, seconds);
      return;
    }
    for (std::size_t c = 0; c <= classes.size(); ++c) {
      if (at > 0 && items[at].group == items[at - 1].group &&
          (c == classes.size() || classes[c].empty() || classes[c].back() != at - 1))
        continue;
      const bool fresh = c == classes.size();
      if (fresh) classes.emplace_back();
      classes[c].push_back(at);
      put(at + 1);
      classes[c].pop_back();
      if (fresh) {
        classes.pop_back();
        break;
      }
    }
  };
  put(0);
  return best;
}

Trimmer random_trimmer(SeededRandom& random) {
  Trimmer trimmer;
  trimmer.gang = 1 + static_cast<int>(random.below(4));
  trimmer.most_slack_mm = 1.0 + static_cast<double>(random.below(12));
  trimmer.stroke_seconds = 1.0 + static_cast<double>(random.below(10));
  trimmer.square_up_seconds = static_cast<double>(random.below(30));
  trimmer.sheet_seconds = static_cast<double>(random.below(200));
  return trimmer;
}

TEST(StripPlan, single_labels_are_cut_as_cheaply_as_any_plan_can_in_4000_small_cases) {
  SeededRandom random{1031};
  for (int round = 0; round < 4000; ++round) {
    const Trimmer trimmer = random_trimmer(random);
    const StripSpace space{20.0 + static_cast<double>(random.below(30)), 40.0};
    std::vector<StripItem> items;
    const std::size_t count = 1 + random.below(6);
    for (std::size_t i = 0; i < count; ++i) items.push_back({6.0 + static_cast<double>(random.below(14)), 3.0, i});
    const double least = brute_force(items, space, trimmer);
    for (const std::size_t search_groups : {std::size_t{0}, k_search_groups}) {  // intervals; every set of classes
      const StripPlan plan = plan_strips(items, space, trimmer, 0, search_groups);
      ASSERT_NEAR(plan.seconds, counted(plan, items, space, trimmer), 1e-6) << "round " << round;
      ASSERT_NEAR(plan.seconds, least, 1e-6) << "round " << round;
    }
  }
}

TEST(StripPlan, copies_stay_together_and_few_numbers_are_still_cut_as_cheaply_as_any_plan_can) {
  SeededRandom random{2063};
  int intervals_best = 0;
  constexpr int k_rounds = 1000;
  for (int round = 0; round < k_rounds; ++round) {
    const Trimmer trimmer = random_trimmer(random);
    const StripSpace space{20.0 + static_cast<double>(random.below(30)), 40.0};
    std::vector<StripItem> items;
    for (std::size_t group = 0; group < 3; ++group) {
      const double width = 6.0 + static_cast<double>(random.below(14));
      const std::size_t copies = 1 + random.below(3);
      for (std::size_t i = 0; i < copies; ++i) items.push_back({width, 3.0, group});
    }
    const double least = brute_force(items, space, trimmer);
    const StripPlan plan = plan_strips(items, space, trimmer, 0);
    ASSERT_NEAR(plan.seconds, counted(plan, items, space, trimmer), 1e-6);
    ASSERT_NEAR(plan.seconds, least, 1e-6) << "round " << round;
    // For many numbers only intervals of the widths are looked at; with copies that is nearly always the best too.
    const StripPlan intervals = plan_strips(items, space, trimmer, 0, 0);
    ASSERT_GE(intervals.seconds, least - 1e-6);
    if (intervals.seconds < least + 1e-6) ++intervals_best;
  }
  EXPECT_GE(intervals_best, k_rounds * 95 / 100);
  EXPECT_LT(intervals_best, k_rounds) << "say so in strip_plan.h if it is always the best";
}

TEST(StripPlan, labels_of_two_heights_share_a_strip_only_within_the_slack) {
  Trimmer trimmer;
  const std::vector<StripItem> items{{10, 3.1, 0}, {10, 5.5, 1}, {10, 3.1, 2}, {10, 8.0, 3}};
  const StripPlan plan = plan_strips(items, {100, 200}, trimmer, 0.25);
  for (const PlannedStrip& strip : plan.strips)
    for (const std::size_t item : strip.items) {
      EXPECT_GE(strip.cell_h_mm, items[item].h_mm);
      EXPECT_LE(strip.cell_h_mm - items[item].h_mm, trimmer.most_slack_mm);
    }
  EXPECT_EQ(plan.strips.size(), 2U);  // 3.1 with 5.5, then 8.0; or 3.1, then 5.5 with 8.0
}

TEST(StripPlan, no_cell_is_larger_than_the_object_of_any_label_in_it_allows) {
  SeededRandom random{4099};
  for (int round = 0; round < 500; ++round) {
    Trimmer trimmer = random_trimmer(random);
    std::vector<StripItem> items;
    const std::size_t count = 1 + random.below(24);
    for (std::size_t i = 0; i < count; ++i) {
      StripItem item{5.0 + 0.1 * static_cast<double>(random.below(60)), 3.0 + static_cast<double>(random.below(4)), i};
      if (random.below(3) == 0)
        item.most_mm = std::max(item.w_mm, item.h_mm) + 0.2 * static_cast<double>(random.below(6));
      items.push_back(item);
    }
    const StripPlan plan = plan_strips(items, {60, 200}, trimmer, 0.25);
    std::set<std::size_t> placed;
    for (const PlannedStrip& strip : plan.strips)
      for (const std::size_t i : strip.items) {
        placed.insert(i);
        ASSERT_GE(strip.cell_w_mm, items[i].w_mm - 1e-9);
        ASSERT_GE(strip.cell_h_mm, items[i].h_mm - 1e-9);
        ASSERT_LE(std::max(strip.cell_w_mm, strip.cell_h_mm), items[i].most_mm + 1e-9) << "round " << round;
      }
    ASSERT_EQ(placed.size(), items.size());
  }
}

}  // namespace
}  // namespace sherdmark
