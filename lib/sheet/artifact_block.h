// Artifact labels that are planned together: all of a run, or some whole lots of a long one. Private to the sheets.
#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "sheet/artifact_label.h"
#include "sheet/order_plan.h"
#include "sheet/strip_plan.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {

// The strips one below the other, page by page; stacks are numbered through the whole run.
class StripPages {
 public:
  explicit StripPages(const RectMm& space) : space_(space), y_mm_(space.y_mm) {}

  // The page on which a strip so high comes to lie, and its top.
  [[nodiscard]] std::pair<int, double> next_strip(double height_mm);
  [[nodiscard]] int next_stack() { return ++stack_; }
  [[nodiscard]] int count() const { return page_; }
  [[nodiscard]] const RectMm& space() const { return space_; }

 private:
  RectMm space_;
  int page_ = 1;
  int stack_ = 0;
  double y_mm_;
};

class ArtifactBlock {
 public:
  // `by_strips`: whether the plan in strips of one cell, whose time grows with the square of the labels, is tried.
  ArtifactBlock(const HouseStandard& standard, const Typeface& face, const RectMm& space, bool by_strips)
      : standard_(&standard), face_(&face), space_(space), by_strips_(by_strips) {}

  // Throws data_error when the label fits no page.
  void add(const ArtifactLabelRequest& request);
  [[nodiscard]] std::size_t labels() const { return items_.size(); }
  [[nodiscard]] bool ends_with(const Number& number) const;

  // Seconds at the trimmer in each order; endless where an order is not to be had.
  struct Costs {
    double labels = 0;
    double lots = 0;
    double strips = 0;
    Costs& operator+=(const Costs& other) {
      labels += other.labels;
      lots += other.lots;
      strips += other.strips;
      return *this;
    }
  };
  [[nodiscard]] Costs costs();
  // In the order that `placements` has.
  void place(StripPages& pages, Placements& placements);

 private:
  struct Shaped {           // what its labels have in common
    MicroCodePlace code;    // size 0: none
    std::size_t first = 0;  // of its labels in items_
    int first_copy = 1;
    std::uint32_t lot = 0;  // from 0
  };

  [[nodiscard]] StripSpace size() const { return {space_.w_mm, space_.h_mm}; }
  [[nodiscard]] double quantum() const;
  [[nodiscard]] OrderedPlan plan_labels() const;
  [[nodiscard]] std::optional<OrderedPlan> plan_lots() const;
  void place_ordered(const OrderedPlan& plan, StripPages& pages, Placements& placements) const;
  void place_strips(const StripPlan& plan, StripPages& pages, Placements& placements) const;
  void place_label(std::size_t item, const PlacedBox& box, Placements& placements) const;

  const HouseStandard* standard_;
  const Typeface* face_;
  RectMm space_;
  bool by_strips_;
  PlacedLabels texts_;  // one for each of shaped_, none placed
  std::string last_number_;
  std::vector<Shaped> shaped_;
  std::vector<std::uint32_t> shaped_of_;  // of each item
  std::vector<StripItem> items_;          // in bench order
  std::string last_lot_;
  std::optional<OrderedPlan> labels_plan_;
  std::optional<OrderedPlan> lots_plan_;
  std::optional<StripPlan> strips_plan_;
  PlacedLabels::Text first_text_ = 0;
};

}  // namespace sherdmark
