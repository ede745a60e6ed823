#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>

#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "sherdmark/report/type_report.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_most_pairs = 9;
constexpr std::size_t k_cards_in_a_row = 3;
constexpr std::size_t k_most_numbers = 12;
constexpr double k_em_mm = 15;
constexpr double k_card_mm = 27;
constexpr double k_gap_mm = 4;
constexpr int k_shades = 16;

// The eye's picture of a glyph, one square a printer dot, its middle column on `middle_mm`.
void draw_seen(Canvas& canvas, const GreyPicture& seen, double middle_mm, double top_mm, double dot_mm) {
  std::array<std::vector<RectMm>, k_shades + 1> shades;
  for (int y = 0; y < seen.height_px(); ++y)
    for (int x = 0; x < seen.width_px();) {
      const auto shade_at = [&](int column) { return (seen.row(y)[column] * k_shades + 127) / 255; };
      const int shade = shade_at(x);
      int end = x + 1;
      while (end < seen.width_px() && shade_at(end) == shade) ++end;
      if (shade > 0)
        shades[static_cast<std::size_t>(shade)].push_back(
            {middle_mm + (x - seen.width_px() / 2.0) * dot_mm, top_mm + y * dot_mm, (end - x) * dot_mm, dot_mm});
      x = end;
    }
  for (int shade = 1; shade <= k_shades; ++shade)
    if (const auto& boxes = shades[static_cast<std::size_t>(shade)]; !boxes.empty())
      canvas.tinted(boxes, static_cast<double>(shade) / k_shades);
}

// One pair: both glyphs as they are, then both as they meet the eye, on one baseline; below, what was measured.
class PairCard {
 public:
  PairCard(const Typeface& face, const ReadingConditions& conditions, RivalPair rival)
      : face_(face), rival_(std::move(rival)) {
    for (const char32_t c : {rival_.pair.first, rival_.pair.second}) seen_.push_back(seen_glyph(face, c, conditions));
    dot_mm_ = k_em_mm / mm_to_dots(pt_to_mm(conditions.size_pt), conditions.printer_dpi);
  }

  void draw(Canvas& canvas, const RectMm& box, const std::string& font) const {
    const double quarter = box.w_mm / 4;
    const double baseline = box.y_mm + k_em_mm;
    const std::array<char32_t, 2> glyphs{rival_.pair.first, rival_.pair.second};
    for (std::size_t i = 0; i < 2; ++i) {
      const auto place = static_cast<double>(i) + 0.5;
      const double middle = box.x_mm + quarter * place;
      const double pen = middle - face_.advance_em(glyphs[i]) * k_em_mm / 2;
      canvas.exact_line(face_, mm_to_pt(k_em_mm), {pen, baseline}, {&glyphs[i], 1});
      draw_seen(canvas, seen_[i], middle + 2 * quarter, baseline - baseline_of(seen_[i]) * dot_mm_, dot_mm_);
    }
    const std::vector<RectMm> rule{{box.x_mm, box.y_mm + k_em_mm + 4.2, box.w_mm, 0.15}};
    canvas.rectangles(rule);
    const bool finding = rival_.pair.distinctness < k_distinctness_limit;
    canvas.paragraph({.family = font, .size_pt = 8.5, .bold = true, .any_font = true},
                     fmt::format("{}   {:.3f}{}", pair_text(rival_.pair), rival_.pair.distinctness,
                                 finding ? "   under the limit" : ""),
                     {box.x_mm, box.y_mm + k_em_mm + 4.9}, box.w_mm);
    canvas.paragraph({.family = font, .size_pt = 7, .any_font = true},
                     printable(rival_.first_number) + "  |  " + printable(rival_.second_number),
                     {box.x_mm, box.y_mm + k_em_mm + 8.6}, box.w_mm);
  }

 private:
  // Rows above the baseline: the picture is the glyph's own with the same margin all round.
  [[nodiscard]] double baseline_of(const GreyPicture& seen) const {
    const auto glyph = face_.draw_glyph(rival_.pair.first, k_em_mm / dot_mm_);
    return glyph.baseline_px + (seen.height_px() - glyph.ink.height_px()) / 2.0;
  }

  Typeface face_;
  RivalPair rival_;
  std::vector<GreyPicture> seen_;
  double dot_mm_ = 1;
};

void add_pairs(Report& pages, const TypeReport& report) {
  const TypeJudgement& found = report.judgement;
  pages.blocks.emplace_back(ReportHeading{"Least distinct pairs"});
  pages.blocks.emplace_back(ReportText{fmt::format(
      "Pairs that can stand at the same place of these numbers. Left the two characters as they are drawn, right as "
      "they come off the printer and meet the eye at {:g} mm. 0 is the same shape, 1 has nothing in common; under {:g} "
      "is a finding.",
      found.conditions.distance_mm, k_distinctness_limit)});
  const Typeface face = Typeface::find(found.font);
  const std::size_t shown = std::min(found.rivals.size(), std::max(k_most_pairs, found.rivals_under_limit));
  for (std::size_t first = 0; first < shown; first += k_cards_in_a_row) {
    auto cards = std::make_shared<std::vector<PairCard>>();
    for (std::size_t i = first; i < std::min(first + k_cards_in_a_row, shown); ++i)
      cards->emplace_back(face, found.conditions, found.rivals[i]);
    pages.blocks.emplace_back(ReportPicture{
        k_card_mm, [cards](Canvas& canvas, const RectMm& box, const auto& font) {
          const double width = (box.w_mm - k_gap_mm * (k_cards_in_a_row - 1)) / k_cards_in_a_row;
          for (std::size_t i = 0; i < cards->size(); ++i)
            (*cards)[i].draw(canvas,
                             {box.x_mm + static_cast<double>(i) * (width + k_gap_mm), box.y_mm, width, box.h_mm}, font);
        }});
  }
  if (found.rivals.empty()) pages.blocks.emplace_back(ReportText{"No two characters share a place."});
  if (found.joined.empty()) {
    pages.blocks.emplace_back(ReportText{"No two neighbours read as one other character."});
    return;
  }
  ReportTable joined{
      {{"neighbours", 1}, {"read as", 1}, {"distinctness", 1, ReportCell::right}, {"number", 2}, {"taken for", 2}},
      {},
      "No two neighbours read as one other character."};
  for (const JoinedPair& one : found.joined)
    joined.rows.push_back({one.pair, one.single, fmt::format("{:.3f}", one.distinctness), one.number, one.reads_as});
  pages.blocks.emplace_back(std::move(joined));
}

void add_turned(Report& pages, const TypeJudgement& found) {
  pages.blocks.emplace_back(ReportHeading{"Upside down"});
  pages.blocks.emplace_back(ReportText{
      fmt::format("Without a rule under the line {} of {} numbers would read as another number when the label, or one "
                  "line of it, lies upside down; "
                  "with the rule of {:g} mm, {}.",
                  found.turned_bare.size(), found.numbers, found.rule.thickness_mm, found.turned_with_rule.size())});
  if (found.turned_bare.empty()) return;
  ReportTable table{{{"number", 2}, {"upside down", 2}, {"with the rule", 2}}, {}, ""};
  for (std::size_t i = 0; i < std::min(found.turned_bare.size(), k_most_numbers); ++i) {
    const UpsideDownPair& pair = found.turned_bare[i];
    const bool still =
        std::ranges::find(found.turned_with_rule, pair.number, &UpsideDownPair::number) != found.turned_with_rule.end();
    table.rows.push_back({pair.number, pair.reads_as, still ? "still read so" : "told apart"});
  }
  pages.blocks.emplace_back(std::move(table));
  if (found.turned_bare.size() > k_most_numbers)
    pages.blocks.emplace_back(ReportText{fmt::format("And {} more.", found.turned_bare.size() - k_most_numbers)});
}

void add_size(Report& pages, const Legibility& size) {
  pages.blocks.emplace_back(ReportHeading{"How small, how far"});
  pages.blocks.emplace_back(
      ReportText{"In minutes of arc (′) of the capitals' height; ISO 9241-3 asks for 16 at least, 20 to 22 preferred. "
                 "The lens's power is the one through which capitals reach 20 minutes.",
                 false, 7.5});
  const std::string lens = size.lens_power > 1 ? fmt::format("{:g} ×", size.lens_power) : "none needed";
  pages.blocks.emplace_back(ReportFacts{
      {{"capitals", fmt::format("{:.2f} mm, {:.1f}′ at {:g} mm", size.cap_mm, size.cap_arcmin, size.distance_mm)},
       {"x-height", fmt::format("{:.2f} mm, {:.1f}′", size.x_mm, size.x_arcmin)},
       {"16′ reached at", fmt::format("{:.0f} mm", size.distance_at_least_mm)},
       {"20′ reached at", fmt::format("{:.0f} mm", size.distance_at_preferred_mm)},
       {"hand lens", lens},
       {"type size", fmt::format("{:g} pt, {:.2f} mm", size.size_pt, size.body_mm)}}});
}

// Against the best: how much less distinct, and what it does to the width of labels.
std::string rank_reason(const FontMerit& merit, const FontMerit& best, double size_pt) {
  std::vector<std::string> why;
  if (merit.findings > best.findings)
    why.push_back(fmt::format("{} more under the limit", merit.findings - best.findings));
  if (best.tells_zero_from_o() && !merit.tells_zero_from_o()) why.emplace_back("0 and O alike");
  const double less = best.mean_of_worst_five - merit.mean_of_worst_five;
  why.push_back(less >= 0 ? fmt::format("{:.3f} less distinct", less) : fmt::format("{:.3f} more distinct", -less));
  const double wider = (merit.widest_number_em - best.widest_number_em) * pt_to_mm(size_pt);
  if (std::abs(wider) >= 0.05)
    why.push_back(fmt::format("{:.1f} mm {}", std::abs(wider), wider > 0 ? "wider" : "narrower"));
  return join(why, ", ");
}

void add_fonts(Report& pages, const TypeJudgement& found) {
  pages.blocks.emplace_back(ReportHeading{"Fonts for these numbers, best first"});
  ReportTable table{{{"", 0.5, ReportCell::right},
                     {"font", 2.8, ReportCell::left, 8, true},
                     {"under limit", 1.3, ReportCell::right},
                     {"0 and O", 1.2, ReportCell::right},
                     {"worst pair", 1.8},
                     {"mean of five", 1.4, ReportCell::right},
                     {"widest number", 1.7, ReportCell::right},
                     {"why", 4.5}},
                    {},
                    ""};
  std::size_t rank = 0;
  for (const FontMerit& merit : found.fonts) {
    const std::string family = merit.family + (merit.family == found.font ? " (house font)" : "");
    if (!merit.why_not.empty()) {
      table.rows.push_back({"–", family, "", "", "", "", "", merit.why_not});
      continue;
    }
    ++rank;
    table.rows.push_back(
        {std::to_string(rank), family, std::to_string(merit.findings), fmt::format("{:.3f}", merit.zero_and_o),
         merit.worst.empty() ? "–" : fmt::format("{} {:.3f}", pair_text(merit.worst.front()), merit.worst_distinctness),
         fmt::format("{:.3f}", merit.mean_of_worst_five),
         fmt::format("{:.1f} mm", merit.widest_number_em * pt_to_mm(found.conditions.size_pt)),
         rank == 1 ? "fewest under the limit; then 0 and O apart; then the most distinct"
                   : rank_reason(merit, found.fonts.front(), found.conditions.size_pt)});
  }
  pages.blocks.emplace_back(std::move(table));
}

}  // namespace

Report type_pages(const TypeReport& report, ReportHead head) {
  const TypeJudgement& found = report.judgement;
  Report pages{std::move(head), {}};
  pages.blocks.emplace_back(ReportNotice{
      found.findings() == 0 ? "No finding"
                            : fmt::format("{} finding{}", found.findings(), found.findings() == 1 ? "" : "s"),
      found.findings() == 0
          ? "Nothing that these numbers are made of can be taken for something else the scheme allows there."
          : "Some characters of these numbers can be taken for others the scheme allows at the same place."});
  pages.blocks.emplace_back(ReportNotice{report.soak.safe() ? "Soak test" : "Soak test missing", report.soak.text});
  const ReadingConditions& at = found.conditions;
  pages.blocks.emplace_back(
      ReportFacts{{{"font", fmt::format("{} {:g} pt", found.font, at.size_pt)},
                   {"printer", fmt::format("{} dpi, toner spread {:g} mm", at.printer_dpi, at.toner_spread_mm)},
                   {"reading distance", fmt::format("{:g} mm", at.distance_mm)},
                   {"numbers", fmt::format("{} ({})", found.numbers, report.source)},
                   {"characters", found.characters},
                   {"check character", report.check_character ? "yes: finds a single misread out" : "none"}}});
  add_pairs(pages, report);
  add_turned(pages, found);
  add_size(pages, found.legibility);
  add_fonts(pages, found);
  return pages;
}

}  // namespace sherdmark
