#include "sheet/cutting_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>

#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "sherdmark/sheet/calibration.h"

namespace sherdmark {
namespace {

constexpr double k_picture_w_mm = 36.0;
constexpr double k_picture_h_mm = 22.0;
constexpr double k_block_gap_mm = 5.0;
constexpr double k_title_pt = 10.0;
constexpr double k_text_pt = 8.0;
constexpr double k_place_pt = 10.0;
constexpr double k_place_w_mm = 15.0;
constexpr double k_strip_number_pt = 5.0;
constexpr double k_strip_lot_pt = 4.5;
constexpr double k_least_indent_mm = 4.6;  // from a strip's number to its lots
constexpr double k_line_mm = 0.12;
constexpr double k_fence_mm = 0.9;  // the fence, a thick bar
constexpr std::size_t k_most_drawn_strips = 5;

void outline(std::vector<RectMm>& lines, const RectMm& box) {
  lines.push_back({box.x_mm, box.y_mm, box.w_mm, k_line_mm});
  lines.push_back({box.x_mm, box.y_mm + box.h_mm - k_line_mm, box.w_mm, k_line_mm});
  lines.push_back({box.x_mm, box.y_mm, k_line_mm, box.h_mm});
  lines.push_back({box.x_mm + box.w_mm - k_line_mm, box.y_mm, k_line_mm, box.h_mm});
}

std::string minutes(double seconds) {
  const auto whole = static_cast<int>(std::lround(seconds / 60));
  return whole < 1 ? "under a minute" : fmt::format("about {} minute{}", whole, whole == 1 ? "" : "s");
}

std::string plural(std::size_t count, std::string_view word) {
  return fmt::format("{} {}{}", count, word, count == 1 ? "" : "s");
}

std::string sentence(std::string_view words) {
  return to_upper_ascii(words.substr(0, 1)) + std::string{words.substr(1)};
}

}  // namespace

std::string number_ranges(const std::vector<int>& numbers) {
  std::vector<std::string> parts;
  for (std::size_t i = 0; i < numbers.size();) {
    std::size_t end = i;
    while (end + 1 < numbers.size() && numbers[end + 1] == numbers[end] + 1) ++end;
    parts.push_back(end == i ? std::to_string(numbers[i]) : fmt::format("{}–{}", numbers[i], numbers[end]));
    i = end + 1;
  }
  return join(parts, ", ");
}

CuttingPages::CuttingPages(const Placements& placements, const HouseStandard& standard, std::string note)
    : placements_(placements),
      note_(std::move(note)),
      standard_(standard),
      frame_(page_frame(standard.artifact_stock, LabelRole::artifact, placements.dpi)),
      plan_(plan_cutting(placements, standard.trimmer)) {
  for (CutStrip& strip : plan_.strips)
    std::vector<double>{}.swap(strip.cuts_mm);  // the steps have what they need of them
  gather();
  paginate();
}

void CuttingPages::gather() {
  const std::string unit =
      measured_in_inches(standard_.artifact_stock) ? "Inches from fence to blade:" : "Millimetres from fence to blade:";
  for (std::size_t i = 0; i < plan_.steps.size(); ++i) {
    const CutStep& step = plan_.steps[i];
    const bool again = !blocks_.empty() && step_of(blocks_.back()).act == step.act &&
                       step_of(blocks_.back()).fence_mm == step.fence_mm;
    if (!again) blocks_.emplace_back().first_step = i;
    ++blocks_.back().steps;
  }
  for (Block& block : blocks_) {
    const CutStep& step = step_of(block);
    std::vector<std::string> together;
    for (const CutStep& one : std::span{plan_.steps}.subspan(block.first_step, block.steps))
      together.push_back(number_ranges(step.act == CutAct::into_strips ? one.pages : one.strips));
    if (step.act == CutAct::into_strips) {
      block.title = fmt::format("{} {} into strips", block.steps == 1 && step.pages.size() == 1 ? "Sheet" : "Sheets",
                                join(together, "  |  "));
      block.before = fmt::format("{}Foot of the sheet against the fence. {}",
                                 step.pages.size() > 1 ? "Stack the sheets, square them up; keep a pile of strips for "
                                                         "each sheet. "
                                                       : "",
                                 unit);
    } else {
      block.title = fmt::format("{} {} into labels", block.steps == 1 && step.strips.size() == 1 ? "Strip" : "Strips",
                                join(together, "  |  "));
      block.before = fmt::format(
          "{}Right end against the fence. {}",
          step.strips.size() > 1 ? "Square up these strips, lowest number on top, and cut them together. " : "", unit);
    }
    block.after = step.falls_off;
    block.height_mm = std::max(k_picture_h_mm, set_block(nullptr, block, block.title, {}, words_width()));
  }
}

double CuttingPages::words_width() const { return frame_.header_text.w_mm - k_picture_w_mm - 4.0; }

std::vector<std::string> CuttingPages::fence_places(const Block& block) const {
  const bool inches = measured_in_inches(standard_.artifact_stock);
  std::vector<std::string> places;
  for (const double mm : step_of(block).fence_mm)
    places.push_back(inches ? fmt::format("{:.2f}", mm / k_mm_per_inch) : fmt::format("{:.1f}", mm));
  return places;
}

double CuttingPages::set_block(Canvas* canvas, const Block& block, const std::string& title, PointMm at,
                               double width_mm) const {
  const TextStyle bold{.family = standard_.carrier_font, .size_pt = k_title_pt, .bold = true};
  const TextStyle plain{.family = standard_.carrier_font, .size_pt = k_text_pt};
  TextStyle place{.family = standard_.carrier_font, .size_pt = k_place_pt};
  place.right_aligned = true;
  const auto set = [&](const TextStyle& style, const std::string& words) {
    if (canvas != nullptr) canvas->paragraph(style, words, at, width_mm);
    at.y_mm += text_.measure(style, words, width_mm).height_mm + 0.8;
  };
  set(bold, title);
  set(plain, block.before);
  const std::vector<std::string> places = fence_places(block);
  const double line = text_.measure(place, "0").height_mm + 0.4;
  double widest = 0;
  for (const std::string& one : places) widest = std::max(widest, text_.measure(place, one).width_mm);
  const auto a_line = static_cast<std::size_t>(std::max(1.0, std::floor(width_mm / k_place_w_mm + 1e-6)));
  for (std::size_t i = 0; i < places.size(); ++i) {
    if (canvas != nullptr)
      canvas->paragraph(place, places[i], {at.x_mm + static_cast<double>(i % a_line) * k_place_w_mm, at.y_mm},
                        widest + 0.1);
    if (i % a_line == a_line - 1 || i + 1 == places.size()) at.y_mm += line;
  }
  at.y_mm += 0.8;
  set(plain, block.after);
  return at.y_mm;
}

double CuttingPages::draw_summary(Canvas* canvas, double y_mm, const std::string& note) const {
  const double x = frame_.header_text.x_mm;
  const double width = frame_.header_text.w_mm;
  const TextStyle bold{.family = standard_.carrier_font, .size_pt = 12.0, .bold = true};
  const TextStyle plain{.family = standard_.carrier_font, .size_pt = k_text_pt};
  const std::string title =
      fmt::format("{} for {} on {}: {}.", plural(static_cast<std::size_t>(plan_.strokes), "stroke"),
                  plural(placements_.labels.size(), "label"),
                  plural(static_cast<std::size_t>(placements_.pages), "sheet"), minutes(plan_.seconds));
  const std::string text =
      fmt::format("{}. On this paper and trimmer no plan needs fewer than {} strokes.{}{}",
                  sentence(what_comes_off(plan_.order)), plan_.strokes_bound, note.empty() ? "" : " ", note);
  const double title_height = text_.measure(bold, title, width).height_mm;
  if (canvas != nullptr) {
    canvas->paragraph(bold, title, {x, y_mm}, width);
    canvas->paragraph(plain, text, {x, y_mm + title_height + 1.0}, width);
  }
  return y_mm + title_height + 1.0 + text_.measure(plain, text, width).height_mm + k_block_gap_mm;
}

void CuttingPages::paginate() {
  const double end = frame_.labels.y_mm + frame_.labels.h_mm;
  double y = draw_summary(nullptr, frame_.labels.y_mm, note_);
  first_block_.push_back(0);
  for (std::size_t i = 0; i < blocks_.size(); ++i) {
    if (y + blocks_[i].height_mm > end && i > first_block_.back()) {
      first_block_.push_back(i);
      y = frame_.labels.y_mm;
    }
    y += blocks_[i].height_mm + k_block_gap_mm;
  }
}

// A sheet with its level cuts and the fence at its foot, or strips with their upright cuts and the fence at the right.
void CuttingPages::draw_picture(Canvas& canvas, const Block& block, PointMm at) const {
  const CutStep& step = step_of(block);
  std::vector<RectMm> lines;
  if (step.act == CutAct::into_strips) {
    const double scale = k_picture_h_mm / placements_.page_height_mm;
    const double width = placements_.page_width_mm * scale;
    const double left = at.x_mm + (k_picture_w_mm - width) / 2;
    const std::size_t sheets = std::min(step.pages.size(), k_most_drawn_strips);
    for (std::size_t i = 1; i < sheets; ++i) {  // the edges of the sheets beneath
      const double off = 0.5 * static_cast<double>(i);
      lines.push_back({left + width + off, at.y_mm + off, k_line_mm, k_picture_h_mm - k_fence_mm});
      lines.push_back({left + off, at.y_mm - off, width, k_line_mm});
    }
    outline(lines, {left, at.y_mm, width, k_picture_h_mm});
    for (const double fence : step.fence_mm)
      lines.push_back({left - 1.5, at.y_mm + k_picture_h_mm - fence * scale, width + 3.0, 0.08});
    lines.push_back({left - 3.0, at.y_mm + k_picture_h_mm, width + 6.0, k_fence_mm});
  } else {
    const double scale = (k_picture_w_mm - k_fence_mm - 1.0) / placements_.page_width_mm;
    const double width = placements_.page_width_mm * scale;
    const std::size_t strips = std::min(step.strips.size(), k_most_drawn_strips);
    const double strip_h = 5.0;
    const double top = at.y_mm + 5.0;
    for (std::size_t i = strips; i-- > 1;) {
      const double off = 0.7 * static_cast<double>(i);
      lines.push_back({at.x_mm, top + strip_h + off, width, k_line_mm});
    }
    outline(lines, {at.x_mm, top, width, strip_h});
    for (const double fence : step.fence_mm)
      lines.push_back({at.x_mm + width - fence * scale, top - 1.5, k_line_mm, strip_h + 5.5});
    lines.push_back({at.x_mm + width, top - 3.0, k_fence_mm, strip_h + 9.0});
  }
  canvas.rectangles(lines);
}

void CuttingPages::draw(Canvas& canvas, int page, const SheetHeader& about) const {
  SheetHeader header = about;
  header.title = "Cutting list";
  header.instructions = {
      "Work from top to bottom. The thick bar is the fence, thin lines are strokes; distances run from the fence to "
      "the blade. Set the first stroke of each step by the ticks at the sheet's edge, then move the fence as listed."};
  draw_frame(canvas, text_, frame_, header, standard_.artifact_stock, standard_.carrier_font, page, count());
  const auto index = static_cast<std::size_t>(page);
  const std::size_t last = index < first_block_.size() ? first_block_[index] : blocks_.size();
  double y = page == 1 ? draw_summary(&canvas, frame_.labels.y_mm, note_) : frame_.labels.y_mm;
  for (std::size_t i = first_block_.at(index - 1); i < last; ++i) {
    const Block& block = blocks_[i];
    draw_picture(canvas, block, {frame_.header_text.x_mm, y});
    (void)set_block(&canvas, block, fmt::format("{}.  {}", i + 1, block.title),
                    {frame_.header_text.x_mm + k_picture_w_mm + 4.0, y}, words_width());
    y += block.height_mm + k_block_gap_mm;
  }
}

// The end of the text, which tells lots apart, as much of it as fits.
std::string CuttingPages::tail_within(const TextStyle& style, const std::string& text, double room_mm) const {
  std::u32string tail = decode_utf8(text).value_or(U"");
  const auto shown = [&tail] { return "…" + encode_utf8(tail); };
  while (!tail.empty() && text_.measure(style, shown()).width_mm > room_mm) tail.erase(0, 1);
  return shown();
}

void CuttingPages::draw_strip_headers(Canvas& canvas, int page) const {
  const auto lot_of = [&](const PlacedLabel& label) {
    const auto parsed = standard_.parse_number(label.number);
    if (!parsed) return label.number;
    const Scheme& scheme = standard_.scheme(parsed->number.scheme());
    for (const NumberLevel level : {NumberLevel::lot, NumberLevel::accession})
      if (const auto lot = scheme.up_to(parsed->number, level)) return lot->text();
    return label.number;
  };
  const TextStyle bold{.family = standard_.carrier_font, .size_pt = k_strip_number_pt, .bold = true};
  const double x = frame_.labels.x_mm;
  for (const CutStrip& strip : plan_.strips) {
    if (strip.page != page) continue;
    const std::string number = std::to_string(strip.strip);
    const std::string first = lot_of(placements_.labels[strip.first_label]);
    const std::string last = lot_of(placements_.labels[strip.first_label + strip.labels - 1]);
    TextStyle plain{.family = standard_.carrier_font, .size_pt = k_strip_lot_pt};
    const TextSize number_size = text_.measure(bold, number);
    const double indent = std::max(k_least_indent_mm, number_size.width_mm + 0.8);
    const double room = k_strip_header_mm - indent - 1.0;
    std::string lots = first == last ? first : first + " …";
    const double width = text_.measure(plain, lots).width_mm;
    if (width > room) plain.size_pt = std::max(2.5, plain.size_pt * room / width * 0.995);
    if (text_.measure(plain, lots).width_mm > room) lots = tail_within(plain, lots, room);
    const double baseline = strip.top_mm + strip.height_mm / 2 + pt_to_mm(k_strip_number_pt) * 0.36;
    canvas.paragraph(bold, number, {x, baseline - number_size.baseline_mm}, 0);
    canvas.paragraph(plain, lots, {x + indent, baseline - text_.measure(plain, lots).baseline_mm}, 0);
  }
}

int cutting_pages(const Placements& placements, const HouseStandard& standard) {
  if (placements.labels.empty() || placements.labels.front().role != LabelRole::artifact) return 0;
  return CuttingPages{placements, standard}.count();
}

}  // namespace sherdmark
