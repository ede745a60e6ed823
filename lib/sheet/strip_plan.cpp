#include "sheet/strip_plan.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>
#include <utility>

namespace sherdmark {
namespace {

constexpr double k_hair_mm = 1e-6;
constexpr double k_endless = std::numeric_limits<double>::infinity();

// Labels of one class, as indices into the items, cut in gangs.
struct Gang {
  std::size_t cells = 0;  // of its longest strip
  std::vector<std::vector<std::size_t>> strips;
};
struct ClassPlan {
  double seconds = k_endless;
  double cell_w_mm = 0;
  double cell_h_mm = 0;
  std::vector<Gang> gangs;
};

std::size_t capacity(double width_mm, double cell_w_mm) {
  return static_cast<std::size_t>(width_mm / cell_w_mm + k_hair_mm);
}

// Least cost for the last r labels, r = 0 … count, and the gang that begins there. As many labels as a gang of s strips
// with k cells can hold go into it: fewer labels left over never cost more.
struct Choice {
  double seconds = k_endless;
  std::size_t cells = 0;
  std::size_t labels = 0;
};

std::vector<Choice> choose_gangs(std::size_t count, std::size_t most_cells, double cell_h_mm, const StripSpace& space,
                                 const Trimmer& trimmer) {
  const auto most_strips = static_cast<std::size_t>(trimmer.gang);
  std::vector<Choice> best(count + 1);
  best[0] = {0, 0, 0};
  for (std::size_t left = 1; left <= count; ++left)
    for (std::size_t cells = 1; cells <= std::min(most_cells, left); ++cells)
      for (std::size_t strips = 1; strips <= most_strips; ++strips) {
        const std::size_t labels = std::min(strips * cells, left);
        const double seconds = gang_seconds(strips, cells, cell_h_mm, space, trimmer) + best[left - labels].seconds;
        if (seconds < best[left].seconds - 1e-9) best[left] = {seconds, cells, labels};
        if (strips * cells >= left) break;
      }
  return best;
}

class StripPlanner {
 public:
  StripPlanner(const std::vector<StripItem>& items, const StripSpace& space, const Trimmer& trimmer, double quantum_mm)
      : space_(space), trimmer_(trimmer), items_(items) {
    std::set<double> heights;
    for (StripItem& item : items_) {
      const double most = std::max(item.w_mm, std::min(item.most_mm, space.width_mm));
      if (quantum_mm > 0) item.w_mm = std::ceil(item.w_mm / quantum_mm - k_hair_mm) * quantum_mm;
      item.w_mm = std::min(item.w_mm, most);
      item.most_mm = std::max({item.most_mm, item.w_mm, item.h_mm});
      heights.insert(item.h_mm);
    }
    heights_.assign(heights.begin(), heights.end());
  }

  [[nodiscard]] StripPlan plan(std::size_t search_groups) const {
    if (const auto groups = members_of_groups(); groups.size() <= search_groups)
      return in_order(ClassSearch{*this, groups}.best());
    std::vector<double> best(heights_.size() + 1, k_endless);
    std::vector<std::vector<ClassPlan>> plans(heights_.size() + 1);
    best[0] = 0;
    for (std::size_t to = 1; to <= heights_.size(); ++to)
      for (std::size_t from = to; from-- > 0;) {
        if (heights_[to - 1] - heights_[from] > trimmer_.most_slack_mm + k_hair_mm) break;
        std::vector<ClassPlan> classes = plan_widths(from, to);
        if (classes.empty()) continue;  // heights that a bound keeps apart
        double seconds = best[from];
        for (const ClassPlan& one : classes) seconds += one.seconds;
        if (seconds >= best[to] - 1e-9) continue;
        best[to] = seconds;
        plans[to] = plans[from];
        plans[to].insert(plans[to].end(), classes.begin(), classes.end());
      }
    return in_order(plans.back());
  }

 private:
  using Members = std::vector<std::size_t>;

  [[nodiscard]] std::vector<Members> members_of_groups() const {
    std::vector<Members> groups;
    for (std::size_t i = 0; i < items_.size(); ++i) {
      if (i == 0 || !same_group(i - 1, i)) groups.emplace_back();
      groups.back().push_back(i);
    }
    return groups;
  }

  // A class of just these labels; endless cost when they differ too much to share a cell.
  [[nodiscard]] ClassPlan class_of(Members members) const {
    std::sort(members.begin(), members.end());
    const auto [narrow, wide] = std::minmax_element(members.begin(), members.end(),
                                                    [&](auto a, auto b) { return items_[a].w_mm < items_[b].w_mm; });
    const auto [low, high] = std::minmax_element(members.begin(), members.end(),
                                                 [&](auto a, auto b) { return items_[a].h_mm < items_[b].h_mm; });
    const double width = items_[*wide].w_mm;
    const double height = items_[*high].h_mm;
    double most = k_endless;
    for (const std::size_t i : members) most = std::min(most, items_[i].most_mm);
    if (std::max(width - items_[*narrow].w_mm, height - items_[*low].h_mm) > trimmer_.most_slack_mm + k_hair_mm ||
        std::max(width, height) > most + k_hair_mm)
      return {};
    return make_class(members, width, height, costs(members.size(), width, height));
  }

  // Tries every way to share out groups among classes; what a class costs is worked out once.
  class ClassSearch {
   public:
    ClassSearch(const StripPlanner& planner, const std::vector<Members>& groups) : planner_(planner), groups_(groups) {
      put(0);
    }
    [[nodiscard]] std::vector<ClassPlan> best() {
      std::vector<ClassPlan> classes;
      for (const unsigned set : best_sets_) classes.push_back(class_of(set));
      return classes;
    }

   private:
    const ClassPlan& class_of(unsigned set) {
      auto [known, is_new] = known_.try_emplace(set);
      if (is_new) {
        Members members;
        for (std::size_t g = 0; g < groups_.size(); ++g)
          if ((set >> g & 1U) != 0) members.insert(members.end(), groups_[g].begin(), groups_[g].end());
        known->second = planner_.class_of(std::move(members));
      }
      return known->second;
    }

    void put(std::size_t group) {
      if (group == groups_.size()) {
        double seconds = 0;
        for (const unsigned set : sets_) seconds += class_of(set).seconds;
        if (seconds < best_seconds_ - 1e-9) {
          best_seconds_ = seconds;
          best_sets_ = sets_;
        }
        return;
      }
      const unsigned bit = 1U << group;
      for (std::size_t i = 0; i < sets_.size(); ++i) {  // by index: deeper calls add sets and take them off again
        sets_[i] |= bit;
        put(group + 1);
        sets_[i] &= ~bit;
      }
      sets_.push_back(bit);
      put(group + 1);
      sets_.pop_back();
    }

    const StripPlanner& planner_;
    const std::vector<Members>& groups_;
    std::vector<unsigned> sets_;
    std::vector<unsigned> best_sets_;
    double best_seconds_ = k_endless;
    std::map<unsigned, ClassPlan> known_;
  };

  [[nodiscard]] std::vector<Choice> costs(std::size_t count, double cell_w_mm, double cell_h_mm) const {
    return choose_gangs(count, capacity(space_.width_mm, cell_w_mm), cell_h_mm, space_, trimmer_);
  }

  // Classes of width among the labels whose height lies in heights_[from] … heights_[to - 1]; none when a label's bound
  // forbids that height.
  [[nodiscard]] std::vector<ClassPlan> plan_widths(std::size_t from, std::size_t to) const {
    std::vector<std::size_t> sorted;
    for (std::size_t i = 0; i < items_.size(); ++i)
      if (items_[i].h_mm >= heights_[from] && items_[i].h_mm <= heights_[to - 1]) sorted.push_back(i);
    std::stable_sort(sorted.begin(), sorted.end(),
                     [&](std::size_t a, std::size_t b) { return items_[a].w_mm < items_[b].w_mm; });
    const double height = heights_[to - 1];
    std::map<double, std::vector<Choice>> cost_of;  // cell width → cost by number of labels
    for (const std::size_t i : sorted)
      if (auto& cost = cost_of[items_[i].w_mm]; cost.empty()) cost = costs(sorted.size(), items_[i].w_mm, height);
    std::vector<double> best(sorted.size() + 1, k_endless);
    std::vector<std::size_t> start_of(sorted.size() + 1);
    best[0] = 0;
    for (std::size_t end = 1; end <= sorted.size(); ++end) {
      if (end < sorted.size() && same_group(sorted[end - 1], sorted[end])) continue;
      const double width = items_[sorted[end - 1]].w_mm;
      const std::vector<Choice>& cost = cost_of.at(width);
      double most = k_endless;
      for (std::size_t start = end; start-- > 0;) {
        most = std::min(most, items_[sorted[start]].most_mm);
        if (width - items_[sorted[start]].w_mm > trimmer_.most_slack_mm + k_hair_mm) break;
        if (std::max(width, height) > most + k_hair_mm) break;
        const double seconds = best[start] + cost[end - start].seconds;
        if (seconds >= best[end] - 1e-9) continue;
        best[end] = seconds;
        start_of[end] = start;
      }
    }
    if (best.back() == k_endless) return {};
    std::vector<ClassPlan> classes;
    for (std::size_t end = sorted.size(); end > 0; end = start_of[end]) {
      std::vector<std::size_t> members(sorted.begin() + static_cast<std::ptrdiff_t>(start_of[end]),
                                       sorted.begin() + static_cast<std::ptrdiff_t>(end));
      std::sort(members.begin(), members.end());
      const double width = items_[sorted[end - 1]].w_mm;
      classes.push_back(make_class(members, width, height, cost_of.at(width)));
    }
    return classes;
  }

  [[nodiscard]] bool same_group(std::size_t a, std::size_t b) const { return items_[a].group == items_[b].group; }

  [[nodiscard]] static ClassPlan make_class(const std::vector<std::size_t>& members, double cell_w_mm, double cell_h_mm,
                                            const std::vector<Choice>& best) {
    ClassPlan plan{best[members.size()].seconds, cell_w_mm, cell_h_mm, {}};
    for (std::size_t left = members.size(); left > 0; left -= best[left].labels) {
      Gang gang{best[left].cells, {}};
      const std::size_t at = members.size() - left;
      for (std::size_t i = 0; i < best[left].labels; ++i) {
        if (i % gang.cells == 0) gang.strips.emplace_back();
        gang.strips.back().push_back(members[at + i]);
      }
      plan.gangs.push_back(std::move(gang));
    }
    return plan;
  }

  // By the first label; a strip that goes on with a number follows the strip that began it.
  [[nodiscard]] StripPlan in_order(const std::vector<ClassPlan>& classes) const {
    StripPlan plan;
    std::vector<std::pair<std::size_t, PlannedStrip>> ordered;
    std::size_t gang_number = 0;
    for (const ClassPlan& one : classes) {
      plan.seconds += one.seconds;
      std::size_t chain = 0;
      std::size_t last = items_.size();
      for (const Gang& gang : one.gangs) {
        for (const auto& strip : gang.strips) {
          if (last == items_.size() || !same_group(last, strip.front())) chain = strip.front();
          last = strip.back();
          ordered.push_back({chain, {one.cell_w_mm, one.cell_h_mm, gang_number, strip}});
        }
        ++gang_number;
      }
    }
    std::stable_sort(ordered.begin(), ordered.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    for (auto& [chain, strip] : ordered) plan.strips.push_back(std::move(strip));
    return plan;
  }

  StripSpace space_;
  Trimmer trimmer_;
  std::vector<StripItem> items_;
  std::vector<double> heights_;
};

}  // namespace

double gang_seconds(std::size_t strips, std::size_t cells, double strip_h_mm, const StripSpace& space,
                    const Trimmer& trimmer) {
  const double paper = trimmer.sheet_seconds * strip_h_mm / space.height_mm;
  return static_cast<double>(strips) * (trimmer.stroke_seconds + paper) +
         (strips > 1 ? trimmer.square_up_seconds : 0.0) + static_cast<double>(cells + 1) * trimmer.stroke_seconds;
}

StripPlan plan_strips(const std::vector<StripItem>& items, const StripSpace& space, const Trimmer& trimmer,
                      double quantum_mm, std::size_t search_groups) {
  return StripPlanner{items, space, trimmer, quantum_mm}.plan(search_groups);
}

}  // namespace sherdmark
