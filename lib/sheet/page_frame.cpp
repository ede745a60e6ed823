#include "sheet/page_frame.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

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
constexpr double k_about_height_mm = 3.3;
constexpr double k_artifact_header_mm = 14.4;  // cautions in type of 16 minutes at 350 mm
constexpr double k_carrier_header_mm = 2.7;    // one line of instructions
constexpr double k_narrow_mm = 110.0;          // narrower than this, instructions need two lines
constexpr double k_footer_height_mm = 3.2;
constexpr double k_foot_inset_mm = 0.4;
constexpr double k_tick_band_mm = 1.5;
constexpr double k_tick_mm = 1.2;
constexpr double k_least_label_space_mm = 10.0;
constexpr std::array k_small_sizes_pt{6.5, 6.0, 5.5, 5.0, 4.5, 4.0};
constexpr std::array k_about_sizes_pt{6.5, 6.25, 6.0, 5.75, 5.5, 5.25, 5.0, 4.75, 4.5, 4.25, 4.0, 3.5, 3.0, 2.5};
constexpr double k_least_about_pt = 6.0;
constexpr std::string_view k_between = "  ·  ";

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

struct ScaleBar {
  double length_mm = 0;
  int parts = 0;
  int strong = 2;  // every so many parts a longer tick
  std::string length;
};
// The longest that leaves room for its own words.
ScaleBar scale_bar_of(const SheetStock& stock, double width_mm) {
  constexpr double k_words_mm = 12.0;
  if (measured_in_inches(stock)) return {4 * k_mm_per_inch, 16, 4, "4 in (101.6 mm)"};
  for (const int length : {100, 50, 20})
    if (length + k_words_mm <= width_mm) return {length * 1.0, length / 5, 2, fmt::format("{} mm", length)};
  return {10.0, 2, 1, "10 mm"};
}

// Where what is said of a sheet may stand: from a pen position, so wide.
struct Slot {
  double x_mm = 0;
  double baseline_mm = 0;
  double width_mm = 0;
};

// The parts laid into the slots, one behind the other, those of a group not before the slot of its number; nothing when
// they do not all fit at this size.
std::optional<std::vector<std::string>> fill_slots(const RunningText& text, const TextStyle& style,
                                                   const std::vector<Slot>& slots,
                                                   const std::vector<std::vector<std::string>>& parts) {
  std::vector<std::string> lines(slots.size());
  std::size_t slot = 0;
  for (std::size_t group = 0; group < parts.size(); ++group) {
    slot = std::max(slot, group);
    for (const std::string& part : parts[group]) {
      const auto with = [&] { return lines[slot].empty() ? part : lines[slot] + std::string{k_between} + part; };
      while (slot < slots.size() && text.measure(style, with()).width_mm > slots[slot].width_mm) ++slot;
      if (slot == slots.size()) return std::nullopt;
      lines[slot] = with();
    }
  }
  return lines;
}

// The parts into the slots in their order, at the largest size at which they fit. False when they fit at none of them.
bool draw_about(Canvas& canvas, const RunningText& text, const std::string& family, const std::vector<Slot>& slots,
                const std::vector<std::vector<std::string>>& parts, double least_pt) {
  for (const double size : k_about_sizes_pt) {
    if (size < least_pt) break;
    const TextStyle style{.family = family, .size_pt = size};
    const auto lines = fill_slots(text, style, slots, parts);
    if (!lines) continue;
    for (std::size_t i = 0; i < slots.size(); ++i) {
      const std::string& line = (*lines)[i];
      if (line.empty()) continue;
      canvas.paragraph(style, line, {slots[i].x_mm, slots[i].baseline_mm - text.measure(style, line).baseline_mm}, 0);
    }
    return true;
  }
  return false;
}

// The bar's outer edges are exactly the stated length apart. Returns where its words end.
double draw_scale_bar(Canvas& canvas, const RunningText& text, const PageFrame& frame, const SheetStock& stock,
                      const std::string& family) {
  const auto [length, parts, strong, words] = scale_bar_of(stock, frame.header_text.w_mm);
  const double x = frame.printable.x_mm + k_text_inset_mm;
  const double foot = frame.footer_y_mm + k_footer_height_mm - k_foot_inset_mm;
  std::vector<RectMm> bar{{x, foot - k_mark_mm, length, k_mark_mm}};
  for (int i = 0; i <= parts; ++i) {
    const double at = std::clamp(x + length * i / parts - k_mark_mm / 2, x, x + length - k_mark_mm);
    const double height = i % strong == 0 ? 1.8 : 1.0;
    bar.push_back({at, foot - height, k_mark_mm, height});
  }
  canvas.rectangles(bar);
  const bool room = frame.about.h_mm > 0;  // else what is said of the sheet stands behind the bar's length
  const TextStyle style{.family = family, .size_pt = 6.0};
  std::string all = words;
  if (room)
    for (const std::string& longer :
         {words + " end to end.", fmt::format("{} end to end. Corner marks {:.1f} × {:.1f} mm apart, outer edges.",
                                              words, frame.printable.w_mm, frame.printable.h_mm)})
      if (length + 2.5 + text.measure(style, longer).width_mm <= frame.header_text.w_mm) all = longer;
  const TextSize size = text.measure(style, all);
  canvas.paragraph(style, all, {x + length + 2.5, foot - size.baseline_mm}, 0);
  return x + length + 2.5 + size.width_mm;
}

}  // namespace

PageFrame page_frame(const SheetStock& stock, LabelRole role, int dpi, double row_mm) {
  PageFrame frame;
  frame.paper = whole_dots(stock.width_mm, stock.height_mm, dpi);
  frame.printable = {stock.margin_left_mm, stock.margin_top_mm,
                     stock.width_mm - stock.margin_left_mm - stock.margin_right_mm,
                     stock.height_mm - stock.margin_top_mm - stock.margin_bottom_mm};
  const RectMm& inner = frame.printable;
  const double width = inner.w_mm - 2 * k_text_inset_mm;
  const double carrier_header = width < k_narrow_mm ? 2 * k_carrier_header_mm : k_carrier_header_mm;
  const double header = role == LabelRole::artifact ? k_artifact_header_mm : carrier_header;
  frame.footer_y_mm = inner.y_mm + inner.h_mm - k_footer_height_mm;
  const double without_about =
      frame.footer_y_mm - inner.y_mm - k_title_height_mm - header - 2 * k_tick_band_mm;  // room for labels
  const auto rows = [row_mm](double height) { return std::floor(height / row_mm + 1e-6); };
  const bool costs_a_row =
      row_mm > 0 && width >= k_narrow_mm && rows(without_about) > rows(without_about - k_about_height_mm);
  frame.about = {inner.x_mm + k_text_inset_mm, inner.y_mm + k_title_height_mm, width,
                 costs_a_row ? 0 : k_about_height_mm};
  frame.header_text = {frame.about.x_mm, frame.about.y_mm + frame.about.h_mm, width, header};
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
    const PlacedBox label = placements.labels.box(i);
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
      const PlacedBox label = placements.labels.box(i);
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
  const TextSize title = text.measure(bold, header.title);
  canvas.paragraph(bold, header.title, {small_space.x_mm, title_y}, 0);
  const double base = title_y + title.baseline_mm;
  const std::string pages_text = fmt::format("page {} of {}", page, pages);
  const TextSize number = text.measure(bold, pages_text);
  if (title.width_mm + 4.0 + number.width_mm > small_space.w_mm)
    throw data_error(fmt::format("the head of the sheet, \"{}\" and \"{}\", needs {:.1f} mm, and the margins of the "
                                 "paper \"{}\" leave {:.1f} mm for it.",
                                 header.title, pages_text, title.width_mm + 4.0 + number.width_mm,
                                 printable(stock.name), small_space.w_mm),
                     {}, "Take wider paper or narrower margins in the house standard.");
  canvas.paragraph(bold, pages_text, {small_space.x_mm + small_space.w_mm - number.width_mm, title_y}, 0);
  const double bar_end = draw_scale_bar(canvas, text, frame, stock, family);
  std::vector<std::string> first, second;
  if (!header.run.empty()) first.push_back("run " + header.run);
  if (!header.date.empty()) first.push_back(header.date);
  if (!header.repository.empty()) second.push_back(header.repository);
  if (!header.printer.empty()) second.push_back(header.printer);
  second.insert(second.end(), header.made.begin(), header.made.end());
  std::vector<Slot> slots{
      {small_space.x_mm + title.width_mm + 4.0, base, small_space.w_mm - title.width_mm - number.width_mm - 8.0}};
  const TextStyle small_style{.family = family, .size_pt = k_about_sizes_pt.front()};
  if (frame.about.h_mm > 0)
    slots.push_back(
        {frame.about.x_mm, frame.about.y_mm + text.measure(small_style, "0").baseline_mm, frame.about.w_mm});
  else
    slots.push_back({bar_end + 4.0, frame.footer_y_mm + k_footer_height_mm - k_foot_inset_mm,
                     small_space.x_mm + small_space.w_mm - bar_end - 4.0});
  std::vector<std::string> all = first;
  all.insert(all.end(), second.begin(), second.end());
  const bool apart = frame.about.h_mm > 0 && draw_about(canvas, text, family, slots, {first, second}, k_least_about_pt);
  if (!apart && !draw_about(canvas, text, family, slots, {all}, 0))
    throw data_error("what the head of the sheet says of its making does not fit the paper.", {},
                     "Shorten the repository's name in the house standard, or the printer's.");
  const SmallText small = fit_small_text(text, header, small_space, family);
  const TextStyle style{.family = family, .size_pt = small.size_pt};
  canvas.paragraph(style, small.left, {small_space.x_mm, small_space.y_mm}, small.column_mm);
  if (!small.right.empty())
    canvas.paragraph(style, small.right, {small_space.x_mm + small.column_mm + k_text_inset_mm, small_space.y_mm},
                     small.column_mm);
  draw_corners(canvas, frame.printable);
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
