#include <fmt/format.h>

#include <cmath>
#include <map>

#include "sheet/artifact_label.h"
#include "sheet/carrier_label.h"
#include "sheet/page_frame.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/units.h"

namespace sherdmark {
namespace {

struct CarrierGrid {
  int columns = 0;
  int rows = 0;
  PointMm origin;
};

CarrierGrid grid_for(const CarrierDesign& design, const RectMm& space, LabelRole role) {
  constexpr double k_hair = 1e-6;
  CarrierGrid grid;
  grid.columns = static_cast<int>(std::floor(space.w_mm / design.width_mm + k_hair));
  grid.rows = static_cast<int>(std::floor(space.h_mm / design.height_mm + k_hair));
  if (grid.columns < 1 || grid.rows < 1)
    throw data_error(
        fmt::format("a {} label of {:.1f} x {:.1f} mm is larger than the page, which has {:.1f} x {:.1f} mm.",
                    to_text(role), design.width_mm, design.height_mm, space.w_mm, space.h_mm),
        {}, "Take larger paper or a smaller label in the house standard.");
  grid.origin = {space.x_mm + (space.w_mm - grid.columns * design.width_mm) / 2, space.y_mm};
  return grid;
}

}  // namespace

Placements lay_out_carrier_labels(const std::vector<CarrierLabelRequest>& labels, const HouseStandard& standard,
                                  const std::string& run) {
  if (labels.empty())
    throw data_error("there is no label to make.", {},
                     "Ask the plan which bags get one, and whether theirs are printed already.");
  const CarrierLabelMaker maker{standard};
  const int dpi = standard.printer.dpi;
  const LabelRole role = labels.front().role;
  const CarrierDesign& design = maker.design(role);
  const PageFrame frame = page_frame(standard.carrier_stock, role, dpi);
  const CarrierGrid grid = grid_for(design, frame.labels, role);
  Placements placements{.run = run,
                        .page_width_mm = frame.paper.width_mm,
                        .page_height_mm = frame.paper.height_mm,
                        .dpi = dpi,
                        .pages = 0,
                        .labels = {}};
  std::map<std::string, int> copies;
  int cell = 0;
  for (const CarrierLabelRequest& request : labels) {
    if (&maker.design(request.role) != &design) throw internal_error("labels of two sizes came to one run of sheets.");
    const CarrierLabelDrawing drawing = maker.compose(request);
    const int row = cell / grid.columns;
    PlacedLabel label;
    label.page = row / grid.rows + 1;
    label.role = request.role;
    label.number = request.number;
    label.bag = request.bag;
    label.serial = request.serial;
    label.revision = request.revision;
    label.copy = ++copies[request.bag + '\n' + request.number];
    label.x_mm = grid.origin.x_mm + (cell % grid.columns) * design.width_mm;
    label.y_mm = grid.origin.y_mm + (row % grid.rows) * design.height_mm;
    label.w_mm = design.width_mm;
    label.h_mm = design.height_mm;
    label.lines = {request.number};
    label.font_pt = drawing.number_pt;
    label.code = PlacedCode{drawing.code.format,
                            request.code_text,
                            snap_code(label.x_mm + drawing.code_at.x_mm, dpi),
                            snap_code(label.y_mm + drawing.code_at.y_mm, dpi),
                            drawing.code_size_mm,
                            drawing.code.width_modules,
                            drawing.module_dots};
    placements.pages = label.page;
    placements.labels.push_back(std::move(label));
    ++cell;
  }
  return placements;
}

}  // namespace sherdmark
