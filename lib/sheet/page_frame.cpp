#include "sheet/page_frame.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "sherdmark/sheet/calibration.h"

namespace sherdmark {
namespace {

constexpr double k_mark_mm = 0.15;  // thickness of corner marks, ticks and the scale bar
constexpr double k_corner_leg_mm = 2.5;
constexpr double k_text_inset_mm = 4.0;  // header and footer stay clear of the corner marks
constexpr double k_title_pt = 8.5;
constexpr double k_title_height_mm = 3.7;
constexpr double k_footer_height_mm = 3.2;
constexpr double k_tick_band_mm = 1.5;
constexpr double k_tick_mm = 1.2;
constexpr double k_least_label_space_mm = 10.0;
constexpr std::array k_small_sizes_pt{6.5, 6.0, 5.5, 5.0, 4.5, 4.0};

struct SmallText {
  double size_pt = 0;
  std::string left;
  std::string right;
  double column_mm = 0;
};

SmallText fit_small_text(const RunningText& text, const SheetHeader& header, const RectMm& space,
                         const std::string& family) {
  SmallText small{0, join(header.instructions, " "), join(header.cautions, " "), space.w_mm};
  if (!small.right.empty()) small.column_mm = (space.w_mm - k_text_inset_mm) / 2;
  double height = 0;
  for (const double size : k_small_sizes_pt) {
    const TextStyle style{.family = family, .size_pt = size};
    height = text.measure(style, small.left, small.column_mm).height_mm;
    if (!small.right.empty()) height = std::max(height, text.measure(style, small.right, small.column_mm).height_mm);
    small.size_pt = size;
    if (height <= space.h_mm + 0.01) return small;
  }
  throw data_error(fmt::format("the instructions and cautions of the sheet's header need {:.1f} mm at {} pt, and there "
                               "are {:.1f} mm.",
                               height, small.size_pt, space.h_mm),
                   {},
                   header.cautions.empty() ? "Shorten the paper's material in the house standard."
                                           : "Shorten the cautions in the house standard.");
}

void draw_corners(Canvas& canvas, const RectMm& box) {
  std::vector<RectMm> legs;
  for (const bool right : {false, true})
    for (const bool bottom : {false, true}) {
      const double x = right ? box.x_mm + box.w_mm : box.x_mm;
      const double y = bottom ? box.y_mm + box.h_mm : box.y_mm;
      legs.push_back({right ? x - k_corner_leg_mm : x, bottom ? y - k_mark_mm : y, k_corner_leg_mm, k_mark_mm});
      legs.push_back({right ? x - k_mark_mm : x, bottom ? y - k_corner_leg_mm : y, k_mark_mm, k_corner_leg_mm});
    }
  canvas.rectangles(legs);
}

// The bar's outer edges are exactly the stated length apart.
void draw_scale_bar(Canvas& canvas, const RunningText& text, const PageFrame& frame, const SheetStock& stock,
                    const std::string& family) {
  const bool inches = measured_in_inches(stock);
  const double length = inches ? 4 * k_mm_per_inch : 100.0;
  const int parts = inches ? 16 : 20;
  const int strong = inches ? 4 : 2;
  const double x = frame.printable.x_mm + k_text_inset_mm;
  const double foot = frame.footer_y_mm + k_footer_height_mm - 0.4;
  std::vector<RectMm> bar{{x, foot - k_mark_mm, length, k_mark_mm}};
  for (int i = 0; i <= parts; ++i) {
    const double at = std::clamp(x + length * i / parts - k_mark_mm / 2, x, x + length - k_mark_mm);
    const double height = i % strong == 0 ? 1.8 : 1.0;
    bar.push_back({at, foot - height, k_mark_mm, height});
  }
  canvas.rectangles(bar);
  const std::string words =
      fmt::format("{} end to end. Corner marks {:.1f} × {:.1f} mm apart, outer edges.",
                  inches ? "4 in (101.6 mm)" : "100 mm", frame.printable.w_mm, frame.printable.h_mm);
  const TextStyle style{.family = family, .size_pt = 6.0};
  const TextSize size = text.measure(style, words);
  canvas.paragraph(style, words, {x + length + 2.5, foot - size.baseline_mm}, 0);
}

}  // namespace

PageFrame page_frame(const SheetStock& stock, LabelRole role, int dpi) {
  PageFrame frame;
  frame.paper = whole_dots(stock.width_mm, stock.height_mm, dpi);
  frame.printable = {stock.margin_left_mm, stock.margin_top_mm,
                     stock.width_mm - stock.margin_left_mm - stock.margin_right_mm,
                     stock.height_mm - stock.margin_top_mm - stock.margin_bottom_mm};
  const double header = role == LabelRole::artifact ? 14.4 : 2.7;  // cautions in type of 16 minutes at 350 mm
  const RectMm& inner = frame.printable;
  frame.header_text = {inner.x_mm + k_text_inset_mm, inner.y_mm + k_title_height_mm, inner.w_mm - 2 * k_text_inset_mm,
                       header};
  frame.footer_y_mm = inner.y_mm + inner.h_mm - k_footer_height_mm;
  const double top = frame.header_text.y_mm + header + k_tick_band_mm;
  frame.labels = {inner.x_mm + k_tick_band_mm, top, inner.w_mm - 2 * k_tick_band_mm,
                  frame.footer_y_mm - k_tick_band_mm - top};
  if (frame.labels.w_mm < k_least_label_space_mm || frame.labels.h_mm < k_least_label_space_mm)
    throw data_error(fmt::format("the margins of the paper \"{}\" leave no room for labels.", printable(stock.name)),
                     {}, "Put the paper's size and margins right in the house standard.");
  return frame;
}

PaperSize carrier_paper(const HouseStandard& standard, LabelRole role) {
  const SheetStock& stock = standard.stock_of(role);
  const CarrierDesign& design = standard.carrier_design(role);
  const int dpi = standard.printer.dpi;
  if (stock.kind == StockKind::roll)
    return whole_dots(stock.width_mm, design.height_mm + stock.margin_top_mm + stock.margin_bottom_mm, dpi);
  if (stock.kind == StockKind::strip)
    return whole_dots(design.width_mm + stock.margin_left_mm + stock.margin_right_mm, stock.width_mm, dpi);
  return whole_dots(stock.width_mm, stock.height_mm, dpi);
}

bool has_frame(const HouseStandard& standard, LabelRole role) {
  return role == LabelRole::artifact || standard.stock_of(role).kind == StockKind::sheet;
}

RectMm strip_space(const PageFrame& frame, const Trimmer& trimmer) {
  const RectMm& all = frame.labels;
  const double right = std::min(all.x_mm + all.w_mm, frame.paper.width_mm - trimmer.smallest_held_mm);
  const double foot = std::min(all.y_mm + all.h_mm, frame.paper.height_mm - trimmer.smallest_held_mm);
  const RectMm space{all.x_mm + k_strip_header_mm, all.y_mm, right - all.x_mm - k_strip_header_mm, foot - all.y_mm};
  if (space.w_mm < k_least_label_space_mm || space.h_mm < k_least_label_space_mm)
    throw data_error("margins and what the trimmer must hold leave no room for artifact labels.", {},
                     "Put the paper's size, its margins or trimmer.smallest_held_mm right in the house standard.");
  return space;
}

CutLines cut_lines(const Placements& placements, std::size_t first, std::size_t last) {
  constexpr double k_same_mm = 0.005;
  const auto add = [](std::vector<double>& cuts, double at) {
    for (const double known : cuts)
      if (std::abs(known - at) < k_same_mm) return;
    cuts.push_back(at);
  };
  CutLines cuts;
  for (std::size_t i = first; i < last; ++i) {
    const PlacedLabel& label = placements.labels[i];
    add(cuts.x_mm, label.x_mm);
    add(cuts.x_mm, label.x_mm + label.w_mm);
    add(cuts.y_mm, label.y_mm);
    add(cuts.y_mm, label.y_mm + label.h_mm);
  }
  if (cuts.x_mm.empty()) return cuts;
  std::sort(cuts.x_mm.begin(), cuts.x_mm.end());
  std::sort(cuts.y_mm.begin(), cuts.y_mm.end());
  cuts.block = {cuts.x_mm.front(), cuts.y_mm.front(), cuts.x_mm.back() - cuts.x_mm.front(),
                cuts.y_mm.back() - cuts.y_mm.front()};
  const auto cuts_through = [&](double at) {  // an upright cut must not run through another row's label
    for (std::size_t i = first; i < last; ++i) {
      const PlacedLabel& label = placements.labels[i];
      if (at > label.x_mm + k_same_mm && at < label.x_mm + label.w_mm - k_same_mm) return true;
    }
    return false;
  };
  std::erase_if(cuts.x_mm, cuts_through);
  return cuts;
}

void draw_frame(Canvas& canvas, const RunningText& text, const PageFrame& frame, const SheetHeader& header,
                const SheetStock& stock, const std::string& family, int page, int pages) {
  const RectMm& small_space = frame.header_text;
  const double title_y = frame.printable.y_mm;
  const TextStyle bold{.family = family, .size_pt = k_title_pt, .bold = true};
  const TextStyle plain{.family = family, .size_pt = 7.0};
  const TextSize title = text.measure(bold, header.title);
  canvas.paragraph(bold, header.title, {small_space.x_mm, title_y}, 0);
  const double base = title_y + title.baseline_mm;
  const std::string pages_text = fmt::format("page {} of {}", page, pages);
  const TextSize number = text.measure(bold, pages_text);
  canvas.paragraph(bold, pages_text, {small_space.x_mm + small_space.w_mm - number.width_mm, title_y}, 0);
  std::vector<std::string> about;
  if (!header.run.empty()) about.push_back("run " + header.run);
  if (!header.date.empty()) about.push_back(header.date);
  if (!header.repository.empty()) about.push_back(header.repository);
  if (!header.printer.empty()) about.push_back(header.printer);
  if (!header.made.empty()) about.push_back(header.made);
  const std::string about_text = join(about, "  ·  ");
  const TextSize about_size = text.measure(plain, about_text);
  const double room = small_space.w_mm - title.width_mm - number.width_mm - 8.0;
  TextStyle about_style = plain;  // a long name of a repository: smaller, never cut
  if (about_size.width_mm > room) about_style.size_pt = std::max(4.0, plain.size_pt * room / about_size.width_mm);
  canvas.paragraph(about_style, about_text,
                   {small_space.x_mm + title.width_mm + 4.0, base - text.measure(about_style, about_text).baseline_mm},
                   0);
  const SmallText small = fit_small_text(text, header, small_space, family);
  const TextStyle style{.family = family, .size_pt = small.size_pt};
  canvas.paragraph(style, small.left, {small_space.x_mm, small_space.y_mm}, small.column_mm);
  if (!small.right.empty())
    canvas.paragraph(style, small.right, {small_space.x_mm + small.column_mm + k_text_inset_mm, small_space.y_mm},
                     small.column_mm);
  draw_corners(canvas, frame.printable);
  draw_scale_bar(canvas, text, frame, stock, family);
}

void draw_ticks(Canvas& canvas, const PageFrame& frame, const CutLines& cuts) {
  std::vector<RectMm> ticks;
  const double left = frame.labels.x_mm - k_tick_band_mm;
  const double right = frame.labels.x_mm + frame.labels.w_mm + k_tick_band_mm;
  const double above = cuts.block.y_mm - k_tick_band_mm;
  const double below = cuts.block.y_mm + cuts.block.h_mm + k_tick_band_mm;
  for (const double y : cuts.y_mm) {
    ticks.push_back({left, y - k_mark_mm / 2, k_tick_mm, k_mark_mm});
    ticks.push_back({right - k_tick_mm, y - k_mark_mm / 2, k_tick_mm, k_mark_mm});
  }
  for (const double x : cuts.x_mm) {
    ticks.push_back({x - k_mark_mm / 2, above, k_mark_mm, k_tick_mm});
    ticks.push_back({x - k_mark_mm / 2, below - k_tick_mm, k_mark_mm, k_tick_mm});
  }
  canvas.rectangles(ticks);
}

}  // namespace sherdmark
