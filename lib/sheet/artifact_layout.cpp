#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "sheet/artifact_label.h"
#include "sheet/page_frame.h"
#include "sherdmark/base/error.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {
namespace {

struct Shaped {
  const ArtifactLabelRequest* request = nullptr;
  ArtifactLabelShape shape;
};

// Lots in the order in which they first come, in each the numbers likewise: identical labels come to lie together.
std::vector<const ArtifactLabelRequest*> in_lot_order(const std::vector<ArtifactLabelRequest>& labels) {
  std::map<std::string, std::size_t> lots;
  std::map<std::pair<std::string, std::string>, std::size_t> numbers;
  std::vector<const ArtifactLabelRequest*> ordered;
  for (const ArtifactLabelRequest& label : labels) {
    lots.emplace(label.lot, lots.size());
    numbers.emplace(std::pair{label.lot, label.number.text()}, numbers.size());
    if (label.copies > 0) ordered.push_back(&label);
  }
  std::stable_sort(ordered.begin(), ordered.end(), [&](const auto* a, const auto* b) {
    const std::size_t lot_a = lots.at(a->lot);
    const std::size_t lot_b = lots.at(b->lot);
    if (lot_a != lot_b) return lot_a < lot_b;
    return numbers.at({a->lot, a->number.text()}) < numbers.at({b->lot, b->number.text()});
  });
  return ordered;
}

struct Grid {
  LabelSize cell;
  int columns = 0;
  int rows = 0;
  PointMm origin;
};

Grid grid_for(const std::vector<Shaped>& shaped, const RectMm& space) {
  Grid grid;
  for (const Shaped& one : shaped) {
    if (one.shape.size.w_mm > space.w_mm || one.shape.size.h_mm > space.h_mm)
      throw data_error(
          fmt::format("the label of {} is {:.1f} x {:.1f} mm, and the page has {:.1f} x {:.1f} mm.",
                      one.request->number.text(), one.shape.size.w_mm, one.shape.size.h_mm, space.w_mm, space.h_mm),
          {}, "Take larger paper, smaller type or a smaller widest_mm in the house standard.");
    grid.cell.w_mm = std::max(grid.cell.w_mm, one.shape.size.w_mm);
    grid.cell.h_mm = std::max(grid.cell.h_mm, one.shape.size.h_mm);
  }
  grid.columns = static_cast<int>(space.w_mm / grid.cell.w_mm + 1e-9);
  grid.rows = static_cast<int>(space.h_mm / grid.cell.h_mm + 1e-9);
  grid.origin = {space.x_mm + (space.w_mm - grid.columns * grid.cell.w_mm) / 2, space.y_mm};
  return grid;
}

}  // namespace

Placements lay_out_artifact_labels(const std::vector<ArtifactLabelRequest>& labels, const HouseStandard& standard,
                                   const std::string& run) {
  const Typeface face = Typeface::find(standard.artifact.font);
  const PageFrame frame = page_frame(standard.artifact_stock, LabelRole::artifact, standard.printer.dpi);
  std::vector<Shaped> shaped;
  for (const ArtifactLabelRequest* request : in_lot_order(labels))
    shaped.push_back({request, shape_artifact_label(*request, standard, face)});
  if (shaped.empty())
    throw data_error("there is no artifact label to make.", {},
                     "Ask the plan which items get a label, and whether their labels are printed already.");
  const Grid grid = grid_for(shaped, frame.labels);
  Placements placements{.run = run,
                        .page_width_mm = frame.paper.width_mm,
                        .page_height_mm = frame.paper.height_mm,
                        .dpi = standard.printer.dpi,
                        .pages = 0,
                        .labels = {}};
  std::map<std::string, int> copies;
  int cell = 0;
  for (const Shaped& one : shaped)
    for (int i = 0; i < one.request->copies; ++i, ++cell) {
      const int row = cell / grid.columns;
      PlacedLabel label;
      label.page = row / grid.rows + 1;
      label.role = LabelRole::artifact;
      label.number = one.request->number.text();
      label.revision = one.request->revision;
      label.copy = ++copies[label.number];
      label.x_mm = grid.origin.x_mm + (cell % grid.columns) * grid.cell.w_mm;
      label.y_mm = grid.origin.y_mm + (row % grid.rows) * grid.cell.h_mm;
      label.w_mm = grid.cell.w_mm;
      label.h_mm = grid.cell.h_mm;
      label.lines = one.shape.lines;
      label.font_pt = standard.artifact.size_pt;
      if (one.shape.code)
        label.code = place_micro_code(one.shape, {label.x_mm, label.y_mm}, label.h_mm, standard.artifact, face,
                                      standard.printer.dpi);
      placements.pages = label.page;
      placements.labels.push_back(std::move(label));
    }
  return placements;
}

}  // namespace sherdmark
