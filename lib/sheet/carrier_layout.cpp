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
  PaperSize paper;
  int columns = 1;
  int rows = 1;
  PointMm origin;
  double pitch_x_mm = 0;
  double pitch_y_mm = 0;
};

CarrierGrid cut_sheet_grid(const CarrierDesign& design, const SheetStock& stock, LabelRole role, int dpi) {
  constexpr double k_hair = 1e-6;
  const PageFrame frame = page_frame(stock, role, dpi, design.height_mm);
  const RectMm& space = frame.labels;
  CarrierGrid grid{frame.paper, 0, 0, {}, design.width_mm, design.height_mm};
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

CarrierGrid grid_for(const HouseStandard& standard, LabelRole role) {
  const CarrierDesign& design = standard.carrier_design(role);
  const SheetStock& stock = standard.stock_of(role);
  const int dpi = standard.printer.dpi;
  if (stock.kind == StockKind::sheet) return cut_sheet_grid(design, stock, role, dpi);
  const PaperSize paper = carrier_paper(standard, role);
  if (stock.kind == StockKind::die_cut)
    return {paper,           stock.columns, stock.rows, {stock.first_left_mm, stock.first_top_mm}, stock.pitch_x_mm,
            stock.pitch_y_mm};
  // One label a page, in the middle of what the margins leave across the roll.
  if (stock.kind == StockKind::roll) {
    const double free = stock.width_mm - stock.margin_left_mm - stock.margin_right_mm;
    return {paper, 1, 1, {stock.margin_left_mm + (free - design.width_mm) / 2, stock.margin_top_mm}, 0, 0};
  }
  const double free = stock.width_mm - stock.margin_top_mm - stock.margin_bottom_mm;
  return {paper, 1, 1, {stock.margin_left_mm, stock.margin_top_mm + (free - design.height_mm) / 2}, 0, 0};
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
  const CarrierGrid grid = grid_for(standard, role);
  Placements placements{.run = run,
                        .page_width_mm = grid.paper.width_mm,
                        .page_height_mm = grid.paper.height_mm,
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
    label.x_mm = grid.origin.x_mm + (cell % grid.columns) * grid.pitch_x_mm;
    label.y_mm = grid.origin.y_mm + (row % grid.rows) * grid.pitch_y_mm;
    label.w_mm = design.width_mm;
    label.h_mm = design.height_mm;
    label.lines = drawing.number.lines;
    label.font_pt = drawing.number.size_pt;
    label.code = PlacedCode{drawing.code.format,
                            request.code_text,
                            snap_code(label.x_mm + drawing.code_at.x_mm, dpi),
                            snap_code(label.y_mm + drawing.code_at.y_mm, dpi),
                            drawing.code_size_mm,
                            drawing.code.width_modules,
                            drawing.module_dots};
    placements.pages = label.page;
    placements.labels.push_back(label);
    ++cell;
  }
  return placements;
}

}  // namespace sherdmark
