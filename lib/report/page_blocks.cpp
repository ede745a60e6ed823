// The blocks that are words: headings, text, notices, facts, signatures.
#include <algorithm>
#include <array>

#include "report/page_slices.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"

namespace sherdmark {
namespace {

constexpr double k_heading_pt = 11;
constexpr double k_fact_pt = 8.5;
constexpr double k_fact_name_mm = 34;
constexpr double k_gap_mm = 4;
constexpr double k_notice_bar_mm = 1.2;
constexpr double k_notice_inset_mm = 3;
constexpr double k_signature_mm = 14;
constexpr double k_line_mm = 0.15;

}  // namespace

TextStyle PageText::style(double size_pt, bool bold) const {
  return {.family = font, .size_pt = size_pt, .bold = bold, .any_font = true};
}

double PageText::height(const TextStyle& chosen, const std::string& words, double at_width_mm) const {
  constexpr double k_widest_letter_em = 1.15;
  const bool one_line = words.find('\n') == std::string::npos &&
                        static_cast<double>(words.size()) * k_widest_letter_em * pt_to_mm(chosen.size_pt) < at_width_mm;
  return text.measure(chosen, one_line ? "Xg" : words, one_line ? 0 : at_width_mm).height_mm;
}

void cut(const ReportHeading& block, const PageText& page, std::vector<Slice>& slices) {
  const TextStyle style = page.style(k_heading_pt, true);
  slices.push_back({.before_mm = 5,
                    .height_mm = page.height(style, block.text, page.width_mm) + 1.5,
                    .with_next = true,
                    .draw = [=, words = block.text, width = page.width_mm](Canvas& canvas, PointMm at) {
                      canvas.paragraph(style, words, at, width);
                    }});
}

void cut(const ReportText& block, const PageText& page, std::vector<Slice>& slices) {
  const TextStyle style = page.style(block.size_pt, block.bold);
  slices.push_back({.before_mm = 2,
                    .height_mm = page.height(style, block.text, page.width_mm) + 1,
                    .draw = [=, words = block.text, width = page.width_mm](Canvas& canvas, PointMm at) {
                      canvas.paragraph(style, words, at, width);
                    }});
}

void cut(const ReportNotice& block, const PageText& page, std::vector<Slice>& slices) {
  const TextStyle bold = page.style(9, true);
  const TextStyle plain = page.style(9);
  const double inner = page.width_mm - k_notice_bar_mm - 2 * k_notice_inset_mm;
  const double title = block.title.empty() ? 0 : page.height(bold, block.title, inner) + 0.8;
  const double height = title + page.height(plain, block.text, inner) + 4;
  slices.push_back({.before_mm = 2,
                    .height_mm = height + 2,
                    .draw = [=, block = block, width = page.width_mm](Canvas& canvas, PointMm at) {
                      canvas.tinted(std::array{RectMm{at.x_mm, at.y_mm, width, height}}, 0.06);
                      canvas.rectangles(std::array{RectMm{at.x_mm, at.y_mm, k_notice_bar_mm, height}});
                      const double x = at.x_mm + k_notice_bar_mm + k_notice_inset_mm;
                      if (!block.title.empty()) canvas.paragraph(bold, block.title, {x, at.y_mm + 2}, inner);
                      canvas.paragraph(plain, block.text, {x, at.y_mm + 2 + title}, inner);
                    }});
}

void cut(const ReportFacts& block, const PageText& page, std::vector<Slice>& slices) {
  const TextStyle bold = page.style(k_fact_pt, true);
  const TextStyle plain = page.style(k_fact_pt);
  const double column = (page.width_mm - k_gap_mm) / 2;
  const double value_width = column - k_fact_name_mm - 1.5;
  // Left to right, two a row; the longer of both sets the height.
  for (std::size_t first = 0; first < block.facts.size(); first += 2) {
    const std::vector<ReportFact> pair(
        block.facts.begin() + static_cast<std::ptrdiff_t>(first),
        block.facts.begin() + static_cast<std::ptrdiff_t>(std::min(first + 2, block.facts.size())));
    double height = 0;
    for (const ReportFact& fact : pair)
      height =
          std::max({height, page.height(bold, fact.name, k_fact_name_mm), page.height(plain, fact.value, value_width)});
    slices.push_back(
        {.before_mm = first == 0 ? 1.0 : 0.0, .height_mm = height + 1, .draw = [=](Canvas& canvas, PointMm at) {
           double x = at.x_mm;
           for (const ReportFact& fact : pair) {
             canvas.paragraph(bold, fact.name, {x, at.y_mm}, k_fact_name_mm);
             canvas.paragraph(plain, fact.value, {x + k_fact_name_mm + 1.5, at.y_mm}, value_width);
             x += column + k_gap_mm;
           }
         }});
  }
}

void cut(const ReportSignatures& block, const PageText& page, std::vector<Slice>& slices) {
  const TextStyle style = page.style(8);
  const double column = (page.width_mm - k_gap_mm) / 2;
  if (!slices.empty()) slices.back().with_next = true;  // nobody signs a page that says nothing
  for (std::size_t first = 0; first < block.who.size(); first += 2)
    slices.push_back(
        {.before_mm = 2, .height_mm = k_signature_mm + 5, .draw = [=, who = block.who](Canvas& canvas, PointMm at) {
           for (std::size_t i = first; i < std::min(first + 2, who.size()); ++i) {
             const double x = at.x_mm + static_cast<double>(i - first) * (column + k_gap_mm);
             canvas.rectangles(std::array{RectMm{x, at.y_mm + k_signature_mm, column, k_line_mm}});
             canvas.paragraph(style, who[i] + ", date", {x, at.y_mm + k_signature_mm + 0.8}, column);
           }
         }});
}

void cut(const ReportPageBreak&, const PageText&, std::vector<Slice>& slices) {
  slices.push_back({
      .page_break = true,
  });
}

}  // namespace sherdmark
