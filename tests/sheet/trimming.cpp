#include "sheet/trimming.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace sherdmark::testing {
namespace {

constexpr double k_blade_mm = 0.02;  // rounding of fence distances to a hundredth, twice

struct Paper {
  int page = 0;
  double left = 0;
  double top = 0;
  double right = 0;
  double foot = 0;
};

bool holds(const Paper& piece, const PlacedLabel& label) {
  return piece.page == label.page && label.x_mm >= piece.left - k_blade_mm && label.y_mm >= piece.top - k_blade_mm &&
         label.x_mm + label.w_mm <= piece.right + k_blade_mm && label.y_mm + label.h_mm <= piece.foot + k_blade_mm;
}

}  // namespace

Trimmed follow(const CuttingPlan& plan, const Placements& placements, const Trimmer& trimmer) {
  Trimmed result;
  const auto fault = [&result](std::string text) { result.faults.push_back(std::move(text)); };
  std::vector<Paper> strips;  // as they fall off, by page and from the top
  std::vector<Paper> labels;
  std::set<int> cut_pages;
  for (const CutStep& step : plan.steps) {
    const std::size_t together = step.act == CutAct::into_strips ? step.pages.size() : step.strips.size();
    if (together == 0 || static_cast<int>(together) > trimmer.gang) fault("a gang is larger than the trimmer takes");
    result.strokes += static_cast<int>(step.fence_mm.size());
    if (step.act == CutAct::into_strips) {
      for (const int page : step.pages) {
        if (!cut_pages.insert(page).second) fault("a sheet is cut twice");
        double top = 0;
        for (std::size_t i = 0; i < step.fence_mm.size(); ++i) {
          const double at = placements.page_height_mm - step.fence_mm[i];
          if (at <= top) fault("the fence moves the wrong way");
          if (i > 0) strips.push_back({page, 0, top, placements.page_width_mm, at});
          top = at;
        }
        if (placements.page_height_mm - top < trimmer.smallest_held_mm - k_blade_mm) fault("nothing left to hold");
      }
      std::stable_sort(strips.begin(), strips.end(), [](const Paper& a, const Paper& b) { return a.page < b.page; });
      continue;
    }
    std::vector<std::vector<Paper>> fallen(step.fence_mm.size());  // at each stroke
    for (const int number : step.strips) {
      if (number < 1 || static_cast<std::size_t>(number) > strips.size()) {
        fault("a strip is named that was not cut");
        continue;
      }
      const Paper strip = strips[static_cast<std::size_t>(number) - 1];
      double left = 0;
      for (std::size_t i = 0; i < step.fence_mm.size(); ++i) {
        const double at = placements.page_width_mm - step.fence_mm[i];
        if (at <= left) fault("the fence moves the wrong way");
        if (i > 0) fallen[i].push_back({strip.page, left, strip.top, at, strip.foot});
        left = at;
      }
      if (placements.page_width_mm - left < trimmer.smallest_held_mm - k_blade_mm) fault("nothing left to hold");
    }
    for (const auto& at_once : fallen) labels.insert(labels.end(), at_once.begin(), at_once.end());
  }
  for (const Paper& piece : labels) {
    const auto held = std::find_if(placements.labels.begin(), placements.labels.end(),
                                   [&](const PlacedLabel& label) { return holds(piece, label); });
    if (held != placements.labels.end())
      result.order.push_back(static_cast<std::size_t>(held - placements.labels.begin()));
  }
  for (const PlacedLabel& label : placements.labels) {
    const auto pieces = std::count_if(labels.begin(), labels.end(), [&](const Paper& one) {
      return holds(one, label) && one.right - one.left < label.w_mm + 2 * k_blade_mm &&
             one.foot - one.top < label.h_mm + 2 * k_blade_mm;
    });
    if (pieces != 1) fault("label " + label.number + " was not cut out");
  }
  return result;
}

int strokes_of_plain_grid(const Placements& placements, const SheetStock& stock) {
  constexpr double k_gap_mm = 2.0;
  double width = 0;
  for (const PlacedLabel& label : placements.labels) width = std::max(width, label.w_mm);
  const double across = stock.width_mm - stock.margin_left_mm - stock.margin_right_mm;
  const int columns = std::max(1, static_cast<int>((across + k_gap_mm) / (width + k_gap_mm)));
  const int count = static_cast<int>(placements.labels.size());
  return 2 * count + 2 * ((count + columns - 1) / columns);
}

}  // namespace sherdmark::testing
