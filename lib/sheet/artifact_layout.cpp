#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <utility>

#include "sheet/artifact_label.h"
#include "sheet/page_frame.h"
#include "sheet/strip_plan.h"
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

// One entry for each label to be printed, in bench order.
struct Piece {
  const Shaped* shaped = nullptr;
  StripItem item;
};

// The longest side a cell may have: what the object allows, if it allows less than any cell would take.
double most_mm(const ArtifactLabelShape& shape) {
  return shape.most_mm > 0 ? shape.most_mm : std::numeric_limits<double>::infinity();
}

std::vector<Piece> pieces_of(const std::vector<Shaped>& shaped, const StripSpace& space) {
  std::vector<Piece> pieces;
  std::size_t group = 0;
  for (std::size_t i = 0; i < shaped.size(); ++i) {
    const Shaped& one = shaped[i];
    if (one.shape.size.w_mm > space.width_mm || one.shape.size.h_mm > space.height_mm)
      throw data_error(fmt::format("the label of {} is {:.1f} x {:.1f} mm, and the page has {:.1f} x {:.1f} mm.",
                                   one.request->number.text(), one.shape.size.w_mm, one.shape.size.h_mm, space.width_mm,
                                   space.height_mm),
                       {}, "Take larger paper, smaller type or a smaller widest_mm in the house standard.");
    if (i > 0 && shaped[i - 1].request->number != one.request->number) ++group;
    for (int copy = 0; copy < one.request->copies; ++copy)
      pieces.push_back({&one, {one.shape.size.w_mm, one.shape.size.h_mm, group, most_mm(one.shape)}});
  }
  return pieces;
}

// A large run is planned on a coarser scale: the plan is exact on it, and paper is cheap.
double quantum_for(std::size_t labels) { return labels <= 2000 ? 0.25 : 0.5; }

PlacedLabel place(const Shaped& one, const PlannedStrip& strip, PointMm at, const HouseStandard& standard,
                  const Typeface& face) {
  PlacedLabel label;
  label.role = LabelRole::artifact;
  label.number = one.request->number.text();
  label.revision = one.request->revision;
  label.x_mm = at.x_mm;
  label.y_mm = at.y_mm;
  label.w_mm = strip.cell_w_mm;
  label.h_mm = strip.cell_h_mm;
  label.lines = one.shape.lines;
  label.font_pt = one.shape.size_pt;
  if (one.shape.code)
    label.code = place_micro_code(one.shape, at, label.h_mm, standard.artifact, face, standard.printer.dpi);
  return label;
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
  const RectMm space = strip_space(frame, standard.trimmer);
  const std::vector<Piece> pieces = pieces_of(shaped, {space.w_mm, space.h_mm});
  std::vector<StripItem> items;
  for (const Piece& piece : pieces) items.push_back(piece.item);
  const StripPlan plan = plan_strips(items, {space.w_mm, space.h_mm}, standard.trimmer, quantum_for(pieces.size()));
  Placements placements{.run = run,
                        .page_width_mm = frame.paper.width_mm,
                        .page_height_mm = frame.paper.height_mm,
                        .dpi = standard.printer.dpi,
                        .pages = 1,
                        .labels = {}};
  std::map<std::string, int> copies;
  PointMm at{space.x_mm, space.y_mm};
  for (const PlannedStrip& strip : plan.strips) {
    if (at.y_mm + strip.cell_h_mm > space.y_mm + space.h_mm + 1e-6) {
      ++placements.pages;
      at.y_mm = space.y_mm;
    }
    at.x_mm = space.x_mm;
    for (const std::size_t index : strip.items) {
      PlacedLabel label = place(*pieces[index].shaped, strip, at, standard, face);
      label.page = placements.pages;
      label.copy = ++copies[label.number];
      at.x_mm += strip.cell_w_mm;
      placements.labels.push_back(std::move(label));
    }
    at.y_mm += strip.cell_h_mm;
  }
  return placements;
}

}  // namespace sherdmark
