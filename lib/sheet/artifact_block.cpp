#include "sheet/artifact_block.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <numeric>

#include "sheet/stack_order.h"
#include "sherdmark/base/error.h"

namespace sherdmark {

std::pair<int, double> StripPages::next_strip(double height_mm) {
  if (y_mm_ + height_mm > space_.y_mm + space_.h_mm + 1e-6) {
    ++page_;
    y_mm_ = space_.y_mm;
  }
  y_mm_ += height_mm;
  return {page_, y_mm_ - height_mm};
}

void ArtifactBlock::add(const ArtifactLabelRequest& request) {
  const ArtifactLabelShape shape = shape_artifact_label(request, *standard_, *face_);
  if (shape.size.w_mm > space_.w_mm || shape.size.h_mm > space_.h_mm)
    throw data_error(fmt::format("the label of {} is {:.1f} x {:.1f} mm, and the page has {:.1f} x {:.1f} mm.",
                                 request.number.text(), shape.size.w_mm, shape.size.h_mm, space_.w_mm, space_.h_mm),
                     {}, "Take larger paper, smaller type or a smaller widest_mm in the house standard.");
  Shaped one;
  PlacedLabel text;
  text.number = request.number.text();
  text.revision = request.revision;
  text.lines = shape.lines;
  text.font_pt = shape.size_pt;
  if (shape.code) {
    one.code = micro_code_place(shape, standard_->artifact, *face_, standard_->printer.dpi);
    text.code = PlacedCode{shape.code->format,        shape.code_text,  0, 0, one.code.size_mm,
                           shape.code->width_modules, shape.module_dots};
  }
  (void)texts_.add_text(text);
  one.first = items_.size();
  const Shaped* before = shaped_.empty() ? nullptr : &shaped_.back();
  const bool again = ends_with(request.number);
  if (again) one.first_copy = before->first_copy + static_cast<int>(items_.size() - before->first);
  one.lot = before == nullptr ? 0 : before->lot + (request.lot == last_lot_ ? 0 : 1);
  last_lot_ = request.lot;
  last_number_ = request.number.text();
  const std::size_t group = items_.empty() ? 0 : items_.back().group + (again ? 0 : 1);
  // The longest side a cell may have: what the object allows, if it allows less than any cell would take.
  const double most = shape.most_mm > 0 ? shape.most_mm : std::numeric_limits<double>::infinity();
  for (int copy = 0; copy < request.copies; ++copy) {
    items_.push_back({shape.size.w_mm, shape.size.h_mm, group, most});
    shaped_of_.push_back(static_cast<std::uint32_t>(shaped_.size()));
  }
  shaped_.push_back(one);
}

bool ArtifactBlock::ends_with(const Number& number) const { return !shaped_.empty() && last_number_ == number.text(); }

// A large run is planned on a coarser scale: the plan is exact on it, and paper is cheap.
double ArtifactBlock::quantum() const { return items_.size() <= 2000 ? 0.25 : 0.5; }

OrderedPlan ArtifactBlock::plan_labels() const {
  OrderedPlan plan = plan_in_order(items_, size(), standard_->trimmer, quantum());
  put_strips_in_order(plan);
  return plan;
}

// In each lot the labels of few lines first: the odd ones break fewer columns at its end. Nothing when strips would not
// come off in bench order; the plan in the order of labels when that order is the same.
std::optional<OrderedPlan> ArtifactBlock::plan_lots() const {
  std::vector<std::size_t> order(items_.size());
  std::iota(order.begin(), order.end(), 0U);
  const auto lot = [&](std::size_t i) { return shaped_[shaped_of_[i]].lot; };
  std::ranges::stable_sort(order, [&](std::size_t a, std::size_t b) {
    return lot(a) != lot(b) ? lot(a) < lot(b) : items_[a].h_mm < items_[b].h_mm;
  });
  if (std::ranges::is_sorted(order)) return labels_plan_ ? *labels_plan_ : plan_labels();
  std::vector<StripItem> items;
  items.reserve(items_.size());
  for (const std::size_t i : order) items.push_back(items_[i]);
  OrderedPlan plan = plan_in_order(items, size(), standard_->trimmer, quantum());
  for (OrderedStack& stack : plan.stacks)
    for (OrderedCell& cell : stack.cells) cell.item = order[cell.item];
  put_strips_in_order(plan);
  if (!strips_in_order(plan)) return std::nullopt;
  return plan;
}

ArtifactBlock::Costs ArtifactBlock::costs() {
  constexpr double k_endless = std::numeric_limits<double>::infinity();
  labels_plan_ = plan_labels();
  Costs costs{labels_plan_->seconds, k_endless, k_endless};
  if (standard_->trimmer.keep_order) return costs;
  lots_plan_ = plan_lots();
  if (lots_plan_) costs.lots = lots_plan_->seconds;
  if (!by_strips_) return costs;
  strips_plan_ = plan_strips(items_, size(), standard_->trimmer, quantum());
  costs.strips = strips_plan_->seconds;
  return costs;
}

void ArtifactBlock::place(StripPages& pages, Placements& placements) {
  for (const StripItem& item : items_) placements.least_widths_mm += item.w_mm;
  for (std::size_t i = 0; i < shaped_.size(); ++i) {
    const PlacedLabels::Text text = placements.labels.add_text(texts_.text(static_cast<PlacedLabels::Text>(i)));
    if (i == 0) first_text_ = text;
  }
  switch (placements.order) {
    case CutOrder::labels:
      return place_ordered(labels_plan_ ? *labels_plan_ : plan_labels(), pages, placements);
    case CutOrder::lots:
      return place_ordered(lots_plan_ ? *lots_plan_ : plan_lots().value(), pages, placements);
    case CutOrder::strips:
      return place_strips(strips_plan_ ? *strips_plan_ : plan_strips(items_, size(), standard_->trimmer, quantum()),
                          pages, placements);
  }
}

void ArtifactBlock::place_ordered(const OrderedPlan& plan, StripPages& pages, Placements& placements) const {
  for (const OrderedStack& stack : plan.stacks) {
    const int number = pages.next_stack();
    for (std::size_t row = 0; row < stack.row_h_mm.size(); ++row) {
      const double height = stack.row_h_mm[row];
      const auto [page, y] = pages.next_strip(height);
      for (const OrderedCell& cell : stack.cells) {
        if (cell.row != row) continue;
        double x = space_.x_mm;
        for (std::size_t column = 0; column < cell.column; ++column) x += stack.column_w_mm[column];
        place_label(cell.item, {page, x, y, stack.column_w_mm[cell.column], height, number}, placements);
      }
    }
  }
}

void ArtifactBlock::place_strips(const StripPlan& plan, StripPages& pages, Placements& placements) const {
  for (const PlannedStrip& strip : plan.strips) {
    const auto [page, y] = pages.next_strip(strip.cell_h_mm);
    double x = space_.x_mm;
    for (const std::size_t item : strip.items) {
      place_label(item, {page, x, y, strip.cell_w_mm, strip.cell_h_mm, 0}, placements);
      x += strip.cell_w_mm;
    }
  }
}

// Copies are numbered in bench order, wherever they lie.
void ArtifactBlock::place_label(std::size_t item, const PlacedBox& box, Placements& placements) const {
  const Shaped& one = shaped_[shaped_of_[item]];
  const auto text = first_text_ + static_cast<PlacedLabels::Text>(shaped_of_[item]);
  const int copy = one.first_copy + static_cast<int>(item - one.first);
  if (one.code.size_mm <= 0) return placements.labels.push_back(text, copy, box);
  const int dpi = standard_->printer.dpi;
  placements.labels.push_back(text, copy, box, snap_code(box.x_mm + one.code.x_mm, dpi),
                              snap_code(box.y_mm + (box.h_mm - one.code.size_mm) / 2, dpi));
}

}  // namespace sherdmark
