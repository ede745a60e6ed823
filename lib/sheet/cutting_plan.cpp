#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "sherdmark/base/error.h"
#include "sherdmark/sheet/cutting.h"

namespace sherdmark {
namespace {

constexpr double k_same_mm = 0.01;

bool same(double a, double b) { return std::abs(a - b) < k_same_mm; }

[[noreturn]] void not_in_rows(const Placements& placements, std::size_t label) {
  throw data_error(
      fmt::format("label {} of run {} does not lie in a row with its neighbours.", label + 1, placements.run), {},
      "Make the sheets again; their placements were changed.");
}

std::vector<CutStrip> strips_of(const Placements& placements) {
  std::vector<CutStrip> strips;
  for (std::size_t i = 0; i < placements.labels.size(); ++i) {
    const PlacedBox label = placements.labels.box(i);
    CutStrip* last = strips.empty() ? nullptr : &strips.back();
    if (last == nullptr || last->page != label.page || !same(last->top_mm, label.y_mm)) {
      if (last != nullptr && last->page == label.page && label.y_mm < last->top_mm + last->height_mm - k_same_mm)
        not_in_rows(placements, i);
      strips.push_back(
          {static_cast<int>(strips.size()) + 1, label.page, label.y_mm, label.h_mm, {label.x_mm}, i, 0, label.stack});
      last = &strips.back();
    }
    if (!same(last->height_mm, label.h_mm) || label.x_mm < last->cuts_mm.back() - k_same_mm) not_in_rows(placements, i);
    if (!same(label.x_mm, last->cuts_mm.back())) last->cuts_mm.push_back(label.x_mm);
    last->cuts_mm.push_back(label.x_mm + label.w_mm);
    ++last->labels;
  }
  return strips;
}

// Strips that can be cut together: the shorter's cuts are all cuts of the longer.
bool same_pattern(const CutStrip& a, const CutStrip& b) {
  if (!same(a.height_mm, b.height_mm)) return false;
  const std::size_t common = std::min(a.cuts_mm.size(), b.cuts_mm.size());
  for (std::size_t i = 0; i < common; ++i)
    if (!same(a.cuts_mm[i], b.cuts_mm[i])) return false;
  return true;
}

double fence(double far_edge_mm, double at_mm) { return std::round((far_edge_mm - at_mm) * 100) / 100; }

// Level cuts of one page, from the top; neighbours share theirs.
std::vector<double> level_cuts(const std::vector<CutStrip>& strips, std::size_t first, std::size_t last) {
  std::vector<double> cuts;
  for (std::size_t i = first; i < last; ++i) {
    if (cuts.empty() || !same(cuts.back(), strips[i].top_mm)) cuts.push_back(strips[i].top_mm);
    cuts.push_back(strips[i].top_mm + strips[i].height_mm);
  }
  return cuts;
}

// Sheets with the same rows, one after the other, are stacked.
void add_level_steps(const Placements& placements, const Trimmer& trimmer, CuttingPlan& plan) {
  const auto most = static_cast<std::size_t>(trimmer.gang);
  const auto equal = [](const std::vector<double>& a, const std::vector<double>& b) {
    return a.size() == b.size() && std::equal(a.begin(), a.end(), b.begin(), same);
  };
  std::vector<double> cuts_of_stack;
  for (std::size_t first = 0; first < plan.strips.size();) {
    std::size_t last = first;
    const int page = plan.strips[first].page;
    while (last < plan.strips.size() && plan.strips[last].page == page) ++last;
    const std::vector<double> cuts = level_cuts(plan.strips, first, last);
    if (plan.steps.empty() || plan.steps.back().pages.size() >= most || !equal(cuts, cuts_of_stack)) {
      cuts_of_stack = cuts;
      CutStep step;
      for (const double cut : cuts) step.fence_mm.push_back(fence(placements.page_height_mm, cut));
      step.falls_off =
          "The header falls off first and is waste; then strip after strip. The foot with the scale bar, "
          "which you hold, is waste.";
      plan.steps.push_back(std::move(step));
    }
    plan.steps.back().pages.push_back(page);
    for (std::size_t i = first; i < last; ++i) plan.steps.back().strips.push_back(plan.strips[i].strip);
    first = last;
  }
}

// Strips of one pattern → gangs, exactly the cheapest: neighbours go together, a gang costs its longest strip.
std::vector<std::size_t> gang_sizes(const std::vector<CutStrip>& strips, const std::vector<std::size_t>& members,
                                    const Trimmer& trimmer) {
  const std::size_t most = trimmer.keep_order ? 1 : static_cast<std::size_t>(trimmer.gang);
  std::vector<double> best(members.size() + 1, std::numeric_limits<double>::infinity());
  std::vector<std::size_t> size(members.size() + 1);
  best[members.size()] = 0;
  for (std::size_t at = members.size(); at-- > 0;) {
    std::size_t cuts = 0;
    for (std::size_t n = 1; n <= most && at + n <= members.size(); ++n) {
      cuts = std::max(cuts, strips[members[at + n - 1]].cuts_mm.size());
      const double seconds =
          static_cast<double>(cuts) * trimmer.stroke_seconds + (n > 1 ? trimmer.square_up_seconds : 0.0) + best[at + n];
      if (seconds < best[at] - 1e-9) {
        best[at] = seconds;
        size[at] = n;
      }
    }
  }
  std::vector<std::size_t> sizes;
  for (std::size_t at = 0; at < members.size(); at += size[at]) sizes.push_back(size[at]);
  return sizes;
}

// The strips of a stack, with every upright cut that any of them needs.
void add_stacks(const Placements& placements, CuttingPlan& plan) {
  for (std::size_t first = 0; first < plan.strips.size();) {
    std::size_t last = first;
    const int stack = plan.strips[first].stack;
    while (last < plan.strips.size() && plan.strips[last].stack == stack) ++last;
    if (stack > 0) {
      CutStep step;
      step.act = CutAct::into_labels;
      std::vector<double> cuts;
      for (std::size_t i = first; i < last; ++i) {
        step.strips.push_back(plan.strips[i].strip);
        cuts.insert(cuts.end(), plan.strips[i].cuts_mm.begin(), plan.strips[i].cuts_mm.end());
      }
      std::ranges::sort(cuts);
      cuts.erase(std::unique(cuts.begin(), cuts.end(), same), cuts.end());
      for (const double cut : cuts) step.fence_mm.push_back(fence(placements.page_width_mm, cut));
      step.falls_off = last - first == 1
                           ? "The strip's beginning falls off first and is waste; then label after label."
                           : "The strips' beginnings fall off first and are waste; then small stacks of labels. Lay "
                             "each stack under the one before: from the top the pile is in the order of the bench";
      if (last - first > 1) step.falls_off += plan.order == CutOrder::lots ? ", in each lot odd sizes last." : ".";
      plan.steps.push_back(std::move(step));
    }
    first = last;
  }
}

void add_upright_steps(const Placements& placements, const Trimmer& trimmer, CuttingPlan& plan) {
  std::vector<std::vector<std::size_t>> patterns;  // of the longest strip so far first
  std::vector<std::size_t> longest;
  for (std::size_t i = 0; i < plan.strips.size(); ++i) {
    if (plan.strips[i].stack > 0) continue;
    const auto known = std::find_if(longest.begin(), longest.end(), [&](std::size_t other) {
      return same_pattern(plan.strips[other], plan.strips[i]);
    });
    if (known == longest.end()) {
      longest.push_back(i);
      patterns.push_back({i});
      continue;
    }
    patterns[static_cast<std::size_t>(known - longest.begin())].push_back(i);
    if (plan.strips[i].cuts_mm.size() > plan.strips[*known].cuts_mm.size()) *known = i;
  }
  for (const auto& members : patterns) {
    std::size_t at = 0;
    for (const std::size_t size : gang_sizes(plan.strips, members, trimmer)) {
      CutStep step;
      step.act = CutAct::into_labels;
      const CutStrip* most = &plan.strips[members[at]];
      for (std::size_t i = at; i < at + size; ++i) {
        const CutStrip& strip = plan.strips[members[i]];
        step.strips.push_back(strip.strip);
        if (strip.cuts_mm.size() > most->cuts_mm.size()) most = &strip;
      }
      for (const double cut : most->cuts_mm) step.fence_mm.push_back(fence(placements.page_width_mm, cut));
      step.falls_off = size == 1 ? "The strip's beginning falls off first and is waste; then label after label."
                                 : "The strips' beginnings fall off first and are waste; then labels, one of each "
                                   "strip at every stroke: keep each stack in its order.";
      plan.steps.push_back(std::move(step));
      at += size;
    }
  }
}

// The labels end to end on paper of this width, but for what the trimmer holds.
int least_strips(const Placements& placements, const Trimmer& trimmer) {
  constexpr double k_coarsest_mm = 0.5;  // of the steps in which widths are planned
  double widths = placements.least_widths_mm;
  if (widths <= 0)
    for (std::size_t i = 0; i < placements.labels.size(); ++i)
      widths += std::max(0.0, placements.labels.box(i).w_mm - trimmer.most_slack_mm - k_coarsest_mm);
  const double room = std::max(1.0, placements.page_width_mm - trimmer.smallest_held_mm);
  return std::max(1, static_cast<int>(std::ceil(widths / room - 1e-6)));
}

void add_figures(const Placements& placements, const Trimmer& trimmer, CuttingPlan& plan) {
  const auto count = static_cast<int>(placements.labels.size());
  for (const CutStep& step : plan.steps) {
    plan.strokes += static_cast<int>(step.fence_mm.size());
    plan.seconds += static_cast<double>(step.fence_mm.size()) * trimmer.stroke_seconds;
    if (step.pages.size() > 1 || (step.act == CutAct::into_labels && step.strips.size() > 1))
      plan.seconds += trimmer.square_up_seconds;
  }
  // A level stroke parts at most one strip of each sheet in the stack, an upright one a label of each strip; and every
  // gang of strips costs a stroke before its first labels.
  const auto up = [](int a, int b) { return (a + b - 1) / b; };
  const int gangs = up(least_strips(placements, trimmer), trimmer.gang);
  plan.strokes_bound = gangs + 1 + up(count, trimmer.gang) + gangs;
  const double snip = std::min(trimmer.snip_seconds, trimmer.stroke_seconds);
  int pages = 0;
  for (const CutStrip& strip : plan.strips) {
    const bool new_page = strip.page != pages;
    pages = strip.page;
    plan.in_order_cuts += 1 + (new_page ? 1 : 0) + static_cast<int>(strip.cuts_mm.size());
    plan.in_order_seconds +=
        (new_page ? 2.0 : 1.0) * trimmer.stroke_seconds + static_cast<double>(strip.cuts_mm.size()) * snip;
  }
  if (plan.order != CutOrder::labels) return;
  plan.in_order_cuts = plan.strokes;
  plan.in_order_seconds = plan.seconds;
}

}  // namespace

std::string_view what_comes_off(CutOrder order) {
  switch (order) {
    case CutOrder::labels:
      return "labels come off in bench order";
    case CutOrder::lots:
      return "strips come off in bench order, in each lot the labels of odd sizes last";
    case CutOrder::strips:
      break;
  }
  return "strips come off in bench order";
}

CuttingPlan plan_cutting(const Placements& placements, const Trimmer& trimmer) {
  CuttingPlan plan;
  plan.run = placements.run;
  plan.order = placements.order;
  plan.strips = strips_of(placements);
  add_level_steps(placements, trimmer, plan);
  add_stacks(placements, plan);
  add_upright_steps(placements, trimmer, plan);
  add_figures(placements, trimmer, plan);
  return plan;
}

}  // namespace sherdmark
