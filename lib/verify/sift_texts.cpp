#include "verify/sift_texts.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "sherdmark/scan/carrier_head.h"
#include "verify/carrier_papers.h"
#include "verify/outlines.h"

namespace sherdmark {
namespace {

// A label may stand nearer to the camera than the carriers, on a thick object: so much its scale may differ.
constexpr double k_most_scale_ratio = 1.4;
// A thickness of a pixel or two is measured less well; of a short piece of a rule it must fit all the better, for
// strokes of large letters are as long.
constexpr double k_most_rule_ratio = 1.25;
constexpr double k_most_short_rule_ratio = 1.15;
constexpr double k_short_rule_mm = 3.0;
// Ink on paper has this share of the contrast that the codes have, however blurred; noise in a dark surface has not.
constexpr double k_least_contrast_share = 0.2;
// Paper is light: print covers about a quarter of an artifact label.
constexpr double k_most_dark_share = 0.65;
// Labels are cut with paper all round, so the rule of one label is never nearer than this to the text of another, even
// where their papers overlap.
constexpr double k_own_paper_mm = 0.4;
// A mark without such a rule, and without a text, may be the cut edge of the label's own paper: the trimming tolerance
// and a little more.
constexpr double k_own_edge_mm = 1.2;
// The large print of a carrier is at least so much larger than an artifact label's.
constexpr double k_least_large_print = 2.0;
// An artifact label's line is mostly paper; bold strokes are not.
constexpr double k_most_print_share = 0.42;
// Nor has it a dark spot of such a radius: its strokes are thinner.
constexpr double k_bold_radius_mm = 0.25;
// The legs of A, M or W over the large print and under it are as thin as a label's rule, and stand steeply on their
// line.
constexpr double k_steep = 0.82;  // the sine of 55 degrees
// Across a finder pattern as it is seen, corner to corner: 12 modules seen straight on, more where the type beside it
// is smaller than the standard's. That of a bag label or tag has 4 mm; its label tilted by 40 degrees, or the text
// nearer to the camera, 3 mm.
constexpr double k_small_finder_modules = 15;
constexpr double k_most_small_finder_mm = 2.7;

bool at_scale(double px_per_mm, double most_ratio, const std::vector<SeenCarrierPaper>& papers) {
  return std::any_of(papers.begin(), papers.end(), [&](const SeenCarrierPaper& paper) {
    const double ratio = px_per_mm / paper.px_per_mm;
    return ratio < most_ratio && ratio > 1 / most_ratio;
  });
}

// How much darker full ink is in this picture than where rules are measured, 1 or more: a darker rule looks thicker.
double ink_excess(const GreyView& pixels, const std::vector<SeenCarrierPaper>& papers) {
  double excess = 1;
  for (const SeenCarrierPaper& paper : papers) {
    const Tone tone = tone_of(pixels, paper.modules);
    const double light = tone.half + tone.contrast / 2;
    if (light > 0) excess = std::max(excess, tone.contrast / light / k_full_ink_share);
  }
  return excess;
}

// What was not read stands on a line as thick as a label's rule.
bool on_a_labels_rule(const TextReading& text, const std::vector<SeenCarrierPaper>& papers, double excess) {
  if (text.sure || text.px_per_mm_of_rule <= 0) return false;
  const double length_mm = distance(text.corners[0], text.corners[1]) / text.px_per_mm_of_rule;
  const bool is_short = length_mm < k_short_rule_mm;
  const double most_ratio = is_short ? k_most_short_rule_ratio : k_most_rule_ratio;
  const double most_thicker = is_short ? most_ratio : most_ratio * excess;
  const double most = std::max(text.px_per_mm_of_rule, text.most_px_per_mm_of_rule);
  return std::any_of(papers.begin(), papers.end(), [&](const SeenCarrierPaper& paper) {
    return paper.px_per_mm * most_thicker > text.px_per_mm_of_rule && paper.px_per_mm < most * most_ratio;
  });
}

// A leg of a letter over a carrier's large print or under it, which nothing else was read above: it stands steeply in
// the line over that print, or under that line.
bool leg_of_a_carriers_letter(const TextReading& text, const std::vector<SeenCarrierPaper>& papers) {
  const PointF middle = centre_of(text.corners), from = text.corners[3], to = text.corners[2];
  const double dx = text.corners[1].x - text.corners[0].x, dy = text.corners[1].y - text.corners[0].y;
  const double length = std::hypot(dx, dy);
  return text.lines.empty() && std::any_of(papers.begin(), papers.end(), [&](const SeenCarrierPaper& paper) {
           const double ux = paper.code[1].x - paper.code[0].x, uy = paper.code[1].y - paper.code[0].y;
           const double across = std::abs(dx * uy - dy * ux) / std::max(1e-9, length * std::hypot(ux, uy));
           const auto within = [&](const Corners& area) { return contains(area, from) && contains(area, to); };
           return contains(paper.large_print, middle) && across > k_steep &&
                  length < paper.longest_leg_mm * paper.px_per_mm &&
                  (within(paper.line_over_print) || within(paper.under_that_line));
         });
}

bool of_label_size(const TextReading& text, const std::vector<SeenCarrierPaper>& papers) {
  return papers.empty() || at_scale(text.px_per_mm, k_most_scale_ratio, papers);
}

bool on_a_carrier(const TextReading& text, const std::vector<SeenCarrierPaper>& papers) {
  return std::any_of(papers.begin(), papers.end(),
                     [&](const SeenCarrierPaper& paper) { return contains(paper.outline, centre_of(text.corners)); });
}

// Whether the picture shows, where the text would be, just the modules that the code has there. A label that lies on a
// code covers some of them, and half of those it covers were dark.
bool is_the_code_itself(const TextReading& text, const GreyView& pixels, const SeenCarrierPaper& paper) {
  constexpr int k_least_modules = 8;
  constexpr double k_most_wrong = 0.06;
  const CodePlane plane{paper.modules};
  const double side = paper.symbol.width_modules;
  const Tone tone = tone_of(pixels, paper.modules);
  int seen = 0, wrong = 0;
  for (int y = 0; y < paper.symbol.height_modules; ++y)
    for (int x = 0; x < paper.symbol.width_modules; ++x) {
      const PointF p = plane.at((x + 0.5) / side, (y + 0.5) / side);
      if (!contains(text.corners, p) || p.x < 0 || p.y < 0 || p.x >= pixels.width_px || p.y >= pixels.height_px)
        continue;
      ++seen;
      const bool dark = pixels.at(static_cast<int>(p.x), static_cast<int>(p.y)) < tone.half;
      wrong += dark != paper.symbol.is_dark(x, y) ? 1 : 0;
    }
  return seen >= k_least_modules && wrong <= k_most_wrong * seen;
}

// Whether somewhere within the text's lines everything is dark, as far round as a stroke of the large print reaches.
bool has_a_bold_stroke(const TextReading& text, const GreyView& pixels, const SeenCarrierPaper& paper) {
  constexpr int k_across = 64, k_down = 24;
  constexpr std::array k_round{PointF{0, 0},     PointF{1, 0},      PointF{-1, 0},     PointF{0, 1},      PointF{0, -1},
                               PointF{0.7, 0.7}, PointF{-0.7, 0.7}, PointF{0.7, -0.7}, PointF{-0.7, -0.7}};
  const double half = tone_of(pixels, paper.modules).half, radius_px = k_bold_radius_mm * paper.px_per_mm;
  const auto dark_round = [&](const PointF& middle) {
    return std::all_of(k_round.begin(), k_round.end(), [&](const PointF& way) {
      const double x = middle.x + way.x * radius_px, y = middle.y + way.y * radius_px;
      return x >= 0 && y >= 0 && x < pixels.width_px && y < pixels.height_px &&
             pixels.at(static_cast<int>(x), static_cast<int>(y)) < half;
    });
  };
  for (int j = 0; j < k_down; ++j)
    for (int i = 0; i < k_across; ++i)
      if (dark_round(place_within(text.corners, (i + 0.5) / k_across, (j + 0.5) / k_down))) return true;
  return false;
}

// Every single module is as the code has it. A label on the code, or its edge, covers some that are dark.
bool nothing_lies_on_the_code(const GreyView& pixels, const SeenCarrierPaper& paper) {
  const CodePlane plane{paper.modules};
  const double side = paper.symbol.width_modules;
  const double half = tone_of(pixels, paper.modules).half;
  for (int y = 0; y < paper.symbol.height_modules; ++y)
    for (int x = 0; x < paper.symbol.width_modules; ++x) {
      const PointF p = plane.at((x + 0.5) / side, (y + 0.5) / side);
      if (p.x < 0 || p.y < 0 || p.x >= pixels.width_px || p.y >= pixels.height_px) return false;
      const bool dark = pixels.at(static_cast<int>(p.x), static_cast<int>(p.y)) < half;
      if (dark != paper.symbol.is_dark(x, y)) return false;
    }
  return true;
}

// Two modules in from its edge: what reaches so far covers a dozen modules more.
Corners inside_of_the_code(const SeenCarrierPaper& paper) {
  const CodePlane plane{paper.modules};
  const double in = 2.0 / paper.symbol.width_modules;
  return {plane.at(in, in), plane.at(1 - in, in), plane.at(1 - in, 1 - in), plane.at(in, 1 - in)};
}

// The carrier's own code or large print: bold strokes, or far too large. Whatever else stands there may be a label that
// lies on the carrier. A line that bears no text, and is none that a label's rule could be, may lie between two
// letters.
bool own_print_of_a_carrier(const TextReading& text, const GreyView& pixels,
                            const std::vector<SeenCarrierPaper>& papers, bool sized) {
  const PointF middle = centre_of(text.corners);
  return std::any_of(papers.begin(), papers.end(), [&](const SeenCarrierPaper& paper) {
    if (contains(paper.code, middle)) return !sized || text.lines.empty();
    return contains(paper.large_print, middle) &&
           ((!sized && text.px_per_mm > k_least_large_print * paper.px_per_mm) ||
            tone_of(pixels, text.corners).dark_share > k_most_print_share ||
            (text.lines.empty() && text.px_per_mm_of_rule <= 0 && has_a_bold_stroke(text, pixels, paper)));
  });
}

// Large print of a carrier whose code was read: on its paper and along it, or, where the paper is of another design
// than the house standard's, with its line ending where the code begins. The line alone may be the paper's own edge,
// and the print the code behind it.
bool head_of_a_read_carrier(const TextReading& head, const std::vector<SeenCarrierPaper>& papers) {
  constexpr double k_aslant = 0.17;       // the sine of 10 degrees
  constexpr double k_to_the_code_mm = 3;  // from the line's end to the code's quiet zone
  const PointF from = head.corners[3], to = head.corners[2];
  return std::any_of(papers.begin(), papers.end(), [&](const SeenCarrierPaper& paper) {
    const double dx = to.x - from.x, dy = to.y - from.y;
    const double ux = paper.code[1].x - paper.code[0].x, uy = paper.code[1].y - paper.code[0].y;
    const double lengths = std::hypot(dx, dy) * std::hypot(ux, uy);
    if (std::abs(dx * uy - dy * ux) > k_aslant * lengths) return false;
    return contains(paper.outline, centre_of(head.corners)) ||
           distance_to_edge(to, paper.code[0], paper.code[3]) < k_to_the_code_mm * paper.px_per_mm;
  });
}

// About where the code of a carrier stands, by the line under its large print.
Corners code_beside(const TextReading& head) {
  constexpr double k_from_line_mm = 1.5, k_below_mm = 4, k_side_mm = 16.5;
  const PointF from = head.corners[3], to = head.corners[2];
  const double length = distance(from, to);
  const double along_x = (to.x - from.x) / length * head.px_per_mm, along_y = (to.y - from.y) / length * head.px_per_mm;
  const auto at = [&](double along_mm, double down_mm) {
    return PointF{to.x + along_mm * along_x - down_mm * along_y, to.y + along_mm * along_y + down_mm * along_x};
  };
  const double right_mm = k_from_line_mm + k_side_mm, top_mm = k_below_mm - k_side_mm;
  return {at(k_from_line_mm, top_mm), at(right_mm, top_mm), at(right_mm, k_below_mm), at(k_from_line_mm, k_below_mm)};
}

// Takes the heads of carriers out of the texts; where the code of one was neither read nor seen, its place is told.
void sift_heads(ImageReadings& picture, const std::vector<SeenCarrierPaper>& papers) {
  for (const TextReading& text : picture.texts) {
    if (!is_carrier_head(text) || head_of_a_read_carrier(text, papers)) continue;
    const Corners code = code_beside(text);
    const auto here = [&](const Corners& seen) {
      return contains(code, centre_of(seen)) || contains(seen, centre_of(code));
    };
    if (std::ranges::none_of(picture.unread_codes, here) && std::ranges::none_of(picture.unseen_codes, here))
      picture.unseen_codes.push_back(code);
  }
  std::erase_if(picture.texts, [](const TextReading& text) { return is_carrier_head(text); });
}

// Takes out finder patterns of artifact labels' own Micro QR codes: on the paper of a text, which says what the label
// is, and too small for a bag's or a tag's code. Where no such codes are printed there are none.
void sift_unread_codes(ImageReadings& picture, const HouseStandard& standard) {
  const ArtifactLabelDesign& design = standard.artifact;
  if (design.micro_code != MicroCode::micro_qr) return;
  const SymbolMatrix any = make_micro_qr("Y", ErrorLevel::m);
  const double module_mm = smallest_module(any, design.micro_module_mm, standard.printer.dpi).module_mm;
  const double most_mm = std::min(k_most_small_finder_mm, k_small_finder_modules * module_mm);
  std::erase_if(picture.unread_codes, [&](const Corners& code) {
    return std::ranges::any_of(picture.texts, [&](const TextReading& text) {
      return !gave_up(text) && diagonal(code) <= most_mm * text.px_per_mm &&
             distance_to(centre_of(code), text.corners) <= reach_of_paper_px(code, text.px_per_mm);
    });
  });
}

// Between ink and paper: of the codes; without a code, of the whole picture.
double contrast_of_print(const ImageReadings& picture, const GreyView& pixels) {
  double best = 0;
  for (const CodeReading& code : picture.codes) best = std::max(best, tone_of(pixels, code.corners).contrast);
  if (best > 0) return best;
  const auto w = static_cast<double>(pixels.width_px), h = static_cast<double>(pixels.height_px);
  return tone_of(pixels, {PointF{0, 0}, PointF{w, 0}, PointF{w, h}, PointF{0, h}}).contrast;
}

bool may_be_print(const TextReading& text, const GreyView& pixels, double print_contrast, bool sized) {
  const Tone tone = tone_of(pixels, text.corners);
  if (tone.contrast < k_least_contrast_share * print_contrast) return false;
  return sized || tone.dark_share < k_most_dark_share;
}

// `text` was not read surely, and the line that was taken for its rule lies within the text of `label`, which was: the
// label's own rule from its other side, a stroke of its characters, or the edge of its paper.
bool on_the_slip_of(const TextReading& text, const TextReading& label, double slack_mm) {
  const double height = distance(label.corners[0], label.corners[3]);
  const double width = distance(label.corners[0], label.corners[1]);
  if (height <= 0 || width <= 0) return false;
  const PointF from = centre_of(label.corners);
  const PointF to{(text.corners[2].x + text.corners[3].x) / 2, (text.corners[2].y + text.corners[3].y) / 2};
  const double ux = (label.corners[1].x - label.corners[0].x) / width,
               uy = (label.corners[1].y - label.corners[0].y) / width;
  const double along = std::abs((to.x - from.x) * ux + (to.y - from.y) * uy);
  const double across = std::abs((to.y - from.y) * ux - (to.x - from.x) * uy);
  return along < width / 2 && across < height / 2 + slack_mm * label.px_per_mm;
}

}  // namespace

void sift_texts(ImageReadings& picture, const GreyView& pixels, const HouseStandard& standard) {
  const std::vector<SeenCarrierPaper> papers = carrier_papers(picture.codes, standard);
  sift_heads(picture, papers);
  const double print_contrast = contrast_of_print(picture, pixels);
  const double excess = ink_excess(pixels, papers);
  std::vector<TextReading> kept;
  for (TextReading& text : picture.texts) {
    const bool sized = of_label_size(text, papers);
    const bool on_a_rule = on_a_labels_rule(text, papers, excess) && !leg_of_a_carriers_letter(text, papers);
    const bool like_a_label = on_a_rule || (sized && !text.lines.empty());
    const bool of_a_code = !text.sure && std::any_of(papers.begin(), papers.end(), [&](const SeenCarrierPaper& paper) {
      return contains(paper.code, centre_of(text.corners)) && is_the_code_itself(text, pixels, paper);
    });
    const bool beside_a_sure_one =
        !text.sure && std::any_of(picture.texts.begin(), picture.texts.end(), [&](const TextReading& label) {
          return label.sure && &label != &text &&
                 on_the_slip_of(text, label, like_a_label ? k_own_paper_mm : k_own_edge_mm);
        });
    if (!gave_up(text) &&
        (beside_a_sure_one || of_a_code ||
         (!(text.sure && sized) && !on_a_rule && own_print_of_a_carrier(text, pixels, papers, sized))))
      continue;
    const bool mere_line =
        !text.sure && text.px_per_mm_of_rule > 0 && text.lines.empty() && text.px_per_mm == text.px_per_mm_of_rule;
    const bool stays =
        text.sure || on_a_rule || gave_up(text) ||
        (!mere_line && (on_a_carrier(text, papers) || may_be_print(text, pixels, print_contrast, sized)));
    if (!stays) {
      picture.set_aside.push_back(text);
      continue;
    }
    if (text.sure && !sized) {
      text.sure = false;
      text.why_not = "it is not of the size of a label";
    }
    kept.push_back(text);
  }
  picture.texts = std::move(kept);
  sift_unread_codes(picture, standard);
}

ShownByCodes shown_by_codes(const std::vector<CodeReading>& codes, const GreyView& pixels,
                            const HouseStandard& standard) {
  ShownByCodes shown;
  for (const SeenCarrierPaper& paper : carrier_papers(codes, standard)) {
    shown.px_per_mm.push_back(paper.px_per_mm);
    if (nothing_lies_on_the_code(pixels, paper)) shown.masked.push_back(inside_of_the_code(paper));
  }
  return shown;
}

}  // namespace sherdmark
