#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <utility>

#include "sheet/artifact_label.h"
#include "sheet/order_plan.h"
#include "sheet/page_frame.h"
#include "sheet/stack_order.h"
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

// Where a label lies: its cell, and the stack its strip is cut in (0: none).
struct Cell {
  std::size_t piece = 0;
  RectMm at;
  int stack = 0;
};

// The strips one below the other, page by page.
class Pages {
 public:
  explicit Pages(const RectMm& space) : space_(space), y_mm_(space.y_mm) {}

  // The top of a strip so high, and the page it lies on.
  [[nodiscard]] std::pair<int, double> next_strip(double height_mm) {
    if (y_mm_ + height_mm > space_.y_mm + space_.h_mm + 1e-6) {
      ++page_;
      y_mm_ = space_.y_mm;
    }
    y_mm_ += height_mm;
    return {page_, y_mm_ - height_mm};
  }
  [[nodiscard]] int count() const { return page_; }

 private:
  RectMm space_;
  int page_ = 1;
  double y_mm_;
};

struct PlacedCells {
  std::vector<std::pair<int, Cell>> cells;  // with their page, strip by strip
  int pages = 1;
  CutOrder order = CutOrder::strips;
};

PlacedCells place_strips(const StripPlan& plan, const RectMm& space) {
  PlacedCells placed;
  Pages pages{space};
  for (const PlannedStrip& strip : plan.strips) {
    const auto [page, y] = pages.next_strip(strip.cell_h_mm);
    double x = space.x_mm;
    for (const std::size_t piece : strip.items) {
      placed.cells.push_back({page, {piece, {x, y, strip.cell_w_mm, strip.cell_h_mm}, 0}});
      x += strip.cell_w_mm;
    }
  }
  placed.pages = pages.count();
  return placed;
}

PlacedCells place_stacks(const OrderedPlan& plan, const RectMm& space) {
  PlacedCells placed;
  Pages pages{space};
  int number = 0;
  for (const OrderedStack& stack : plan.stacks) {
    ++number;
    for (std::size_t row = 0; row < stack.row_h_mm.size(); ++row) {
      const double height = stack.row_h_mm[row];
      const auto [page, y] = pages.next_strip(height);
      for (const OrderedCell& cell : stack.cells) {
        if (cell.row != row) continue;
        double x = space.x_mm;
        for (std::size_t column = 0; column < cell.column; ++column) x += stack.column_w_mm[column];
        placed.cells.push_back({page, {cell.item, {x, y, stack.column_w_mm[cell.column], height}, number}});
      }
    }
  }
  placed.pages = pages.count();
  return placed;
}

// In each lot the labels of few lines first: the odd ones break fewer columns at its end.
std::vector<std::size_t> odd_sizes_last(const std::vector<Piece>& pieces) {
  std::vector<std::size_t> order(pieces.size());
  std::iota(order.begin(), order.end(), 0U);
  const auto lot = [&](std::size_t i) -> const std::string& { return pieces[i].shaped->request->lot; };
  for (std::size_t first = 0; first < pieces.size();) {
    std::size_t last = first;
    while (last < pieces.size() && lot(last) == lot(first)) ++last;
    std::stable_sort(order.begin() + static_cast<std::ptrdiff_t>(first),
                     order.begin() + static_cast<std::ptrdiff_t>(last),
                     [&](std::size_t a, std::size_t b) { return pieces[a].item.h_mm < pieces[b].item.h_mm; });
    first = last;
  }
  return order;
}

OrderedPlan plan_lots_in_order(const std::vector<Piece>& pieces, const std::vector<std::size_t>& order,
                               const StripSpace& space, const Trimmer& trimmer) {
  std::vector<StripItem> items;
  for (const std::size_t i : order) items.push_back(pieces[i].item);
  OrderedPlan plan = plan_in_order(items, space, trimmer, quantum_for(items.size()));
  for (OrderedStack& stack : plan.stacks)
    for (OrderedCell& cell : stack.cells) cell.item = order[cell.item];
  put_strips_in_order(plan);
  return plan;
}

// Above this the plan by widths, whose time grows with the square of the labels, is left out.
constexpr std::size_t k_most_by_width = 20'000;

// Labels strictly in bench order if the house wants it; else the least time among plans whose strips come off in bench
// order, and where that saves no whole stroke the stricter order.
PlacedCells place_cells(const std::vector<Piece>& pieces, const RectMm& space, const Trimmer& trimmer) {
  std::vector<StripItem> items;
  for (const Piece& piece : pieces) items.push_back(piece.item);
  const StripSpace size{space.w_mm, space.h_mm};
  OrderedPlan labels = plan_in_order(items, size, trimmer, quantum_for(items.size()));
  put_strips_in_order(labels);
  PlacedCells placed = place_stacks(labels, space);
  placed.order = CutOrder::labels;
  if (trimmer.keep_order) return placed;
  double least = labels.seconds;
  const auto saves_a_stroke = [&](double seconds) { return seconds <= least - trimmer.stroke_seconds + 1e-9; };
  const std::vector<std::size_t> order = odd_sizes_last(pieces);
  if (!std::ranges::is_sorted(order))
    if (const OrderedPlan lots = plan_lots_in_order(pieces, order, size, trimmer);
        strips_in_order(lots) && saves_a_stroke(lots.seconds)) {
      placed = place_stacks(lots, space);
      placed.order = CutOrder::lots;
      least = lots.seconds;
    }
  if (pieces.size() > k_most_by_width) return placed;
  if (const StripPlan strips = plan_strips(items, size, trimmer, quantum_for(items.size()));
      saves_a_stroke(strips.seconds)) {
    placed = place_strips(strips, space);
    placed.order = CutOrder::strips;
  }
  return placed;
}

PlacedLabel place(const Shaped& one, const Cell& cell, const HouseStandard& standard, const Typeface& face) {
  PlacedLabel label;
  label.role = LabelRole::artifact;
  label.number = one.request->number.text();
  label.revision = one.request->revision;
  label.x_mm = cell.at.x_mm;
  label.y_mm = cell.at.y_mm;
  label.w_mm = cell.at.w_mm;
  label.h_mm = cell.at.h_mm;
  label.lines = one.shape.lines;
  label.font_pt = one.shape.size_pt;
  label.stack = cell.stack;
  if (one.shape.code)
    label.code = place_micro_code(one.shape, {label.x_mm, label.y_mm}, label.h_mm, standard.artifact, face,
                                  standard.printer.dpi);
  return label;
}

// Copies are numbered in bench order, wherever they lie.
std::vector<int> copy_numbers(const std::vector<Piece>& pieces) {
  std::map<std::string, int> copies;
  std::vector<int> numbers;
  for (const Piece& piece : pieces) numbers.push_back(++copies[piece.shaped->request->number.text()]);
  return numbers;
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
  const PlacedCells placed = place_cells(pieces, space, standard.trimmer);
  const std::vector<int> copies = copy_numbers(pieces);
  Placements placements{.run = run,
                        .page_width_mm = frame.paper.width_mm,
                        .page_height_mm = frame.paper.height_mm,
                        .dpi = standard.printer.dpi,
                        .pages = placed.pages,
                        .labels = {},
                        .order = placed.order};
  placements.labels.reserve(placed.cells.size());
  for (const auto& [page, cell] : placed.cells) {
    PlacedLabel label = place(*pieces[cell.piece].shaped, cell, standard, face);
    label.page = page;
    label.copy = copies[cell.piece];
    placements.labels.push_back(std::move(label));
  }
  return placements;
}

}  // namespace sherdmark
