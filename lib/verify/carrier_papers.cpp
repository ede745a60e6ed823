#include "verify/carrier_papers.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "sherdmark/base/units.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/sheet/carrier_code_place.h"

namespace sherdmark {
namespace {

// Round a code and the large print: what the camera and the folds of the paper may shift, in mm.
constexpr double k_own_print_slack_mm = 1.5;
// The legs of A, M or W over it and under it are as thin as a label's rule, and stand steeply on their line.
constexpr double k_longest_leg_em = 0.8;
constexpr double k_longest_leg_mm = 2.0;
// The foot of the capitals over it, in em from the top of their line; how wide its characters may be, and how many it
// has beside those of the id: the role, the gap behind it, and hyphens.
constexpr double k_line_foot_em = 0.73;
constexpr double k_line_slack_mm = 0.35;
constexpr double k_most_advance_em = 0.73;
constexpr std::size_t k_more_than_id = 5;

SeenCarrierPaper paper_of(const Corners& code, const SymbolMatrix& symbol, const CarrierDesign& design,
                          const CarrierCodePlace& place, std::size_t line_characters) {
  const double module_mm = place.size.module_mm, side_mm = symbol.width_modules * module_mm;
  const double quiet_mm = symbol.quiet_zone_modules * module_mm;
  const CodePlane plane{code};
  const auto area = [&](double left_mm, double top_mm, double right_mm, double bottom_mm) {
    const auto u = [&](double mm) { return (mm - place.x_mm - quiet_mm) / side_mm; };
    const auto v = [&](double mm) { return (mm - place.y_mm - quiet_mm) / side_mm; };
    return Corners{plane.at(u(left_mm), v(top_mm)), plane.at(u(right_mm), v(top_mm)),
                   plane.at(u(right_mm), v(bottom_mm)), plane.at(u(left_mm), v(bottom_mm))};
  };
  const double code_mm = side_mm + 2 * quiet_mm;
  const double padding_mm = carrier_padding_mm(design), line_top_mm = design.inset_top_mm + padding_mm;
  const double large_print_mm =
      line_top_mm + pt_to_mm(2 * design.text_pt + 1.5 * design.number_pt) + k_own_print_slack_mm;
  const double line_foot_mm = line_top_mm + k_line_foot_em * pt_to_mm(design.text_pt);
  const double line_right_mm = design.inset_left_mm + padding_mm +
                               pt_to_mm(design.text_pt) * k_most_advance_em * static_cast<double>(line_characters);
  double around_px = 0;
  for (std::size_t i = 0; i < 4; ++i) around_px += distance(code[i], code[(i + 1) % 4]);
  return {area(0, 0, design.width_mm, design.height_mm),
          area(place.x_mm, place.y_mm, place.x_mm + code_mm, place.y_mm + code_mm),
          area(0, 0, place.x_mm, large_print_mm),
          around_px / 4 / side_mm,
          std::min(k_longest_leg_mm, k_longest_leg_em * pt_to_mm(design.text_pt)),
          area(0, line_top_mm - k_line_slack_mm, std::min(place.x_mm, line_right_mm), line_foot_mm + k_line_slack_mm),
          area(0, line_foot_mm + k_line_slack_mm, design.width_mm, design.height_mm),
          code,
          symbol};
}

}  // namespace

std::vector<SeenCarrierPaper> carrier_papers(const std::vector<CodeReading>& codes, const HouseStandard& standard) {
  std::vector<SeenCarrierPaper> papers;
  for (const CodeReading& code : codes) {
    const LinkReading link = parse_code_text(code.text);
    if (code.format != SymbolFormat::qr || !link.link || link.link->role == LabelRole::artifact) continue;
    const CarrierDesign& design = standard.carrier_design(link.link->role);
    const SymbolMatrix symbol = make_qr(code.text, ErrorLevel::q);
    const auto place = place_carrier_code(symbol, design, standard.printer.dpi);
    const std::size_t line_characters = link.link->subject.size() + k_more_than_id;
    if (place) papers.push_back(paper_of(code.corners, symbol, design, *place, line_characters));
  }
  return papers;
}

Tone tone_of(const GreyView& pixels, const Corners& c) {
  constexpr int k_across = 96, k_down = 24;
  std::array<int, 256> histogram{};
  for (int j = 0; j < k_down; ++j) {
    for (int i = 0; i < k_across; ++i) {
      const PointF at = place_within(c, (i + 0.5) / k_across, (j + 0.5) / k_down);
      if (at.x < 0 || at.y < 0 || at.x >= pixels.width_px || at.y >= pixels.height_px) continue;
      ++histogram[pixels.at(static_cast<int>(at.x), static_cast<int>(at.y))];
    }
  }
  const int all = std::accumulate(histogram.begin(), histogram.end(), 0);
  const auto level_at = [&](int rank) {
    int level = 0;
    for (int seen = histogram[0]; seen <= rank && level < 255; seen += histogram[static_cast<std::size_t>(level)])
      ++level;
    return level;
  };
  if (all == 0) return {};
  const int dark = level_at(all / 50), light = level_at(all - 1 - all / 50);
  const int half = (dark + light + 1) / 2;
  const int darker = std::accumulate(histogram.begin(), histogram.begin() + half, 0);
  return {static_cast<double>(light - dark), static_cast<double>(darker) / all, static_cast<double>(half)};
}

}  // namespace sherdmark
