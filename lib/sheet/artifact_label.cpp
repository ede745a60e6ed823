#include "sheet/artifact_label.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "sherdmark/code/check_character.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/sheet/label_fit.h"
#include "sherdmark/sheet/label_geometry.h"

namespace sherdmark {
namespace {

std::u32string code_points(std::string_view text) {
  auto decoded = decode_utf8(text);
  if (!decoded) throw internal_error("text that is not UTF-8 came to the sheet.");
  return std::move(*decoded);
}

double line_mm(std::string_view line, double size_pt, const Typeface& face) {
  return face.width_em(code_points(line)) * pt_to_mm(size_pt);
}

double widest_line_mm(const std::vector<std::string>& lines, double size_pt, const Typeface& face) {
  double widest = 0;
  for (const std::string& line : lines) widest = std::max(widest, line_mm(line, size_pt, face));
  return widest;
}

// A way to set the pieces from one to the last in lines. Compared in this order: least in all over the limit, fewest
// lines, shortest widest line.
struct Breaking {
  double over_mm = std::numeric_limits<double>::infinity();
  std::size_t lines = 0;
  double widest_mm = 0;
  std::size_t first_end = 0;  // the first line holds the pieces up to this one
};

bool better(const Breaking& a, const Breaking& b) {
  constexpr double k_same_mm = 1e-9;
  if (std::abs(a.over_mm - b.over_mm) > k_same_mm || std::isinf(b.over_mm)) return a.over_mm < b.over_mm;
  if (a.lines != b.lines) return a.lines < b.lines;
  return a.widest_mm < b.widest_mm - k_same_mm;
}

SymbolMatrix symbol_for(const Number& number, MicroCode kind, const std::string& text) {
  try {
    return micro_code_symbol(kind == MicroCode::data_matrix ? SymbolFormat::data_matrix : SymbolFormat::micro_qr, text);
  } catch (const Error& error) {
    if (error.family() != ErrorFamily::data) throw;
    throw data_error(fmt::format("{} does not fit the artifact's micro-code.", number.text()), {},
                     "Choose data-matrix or none for the artifact's micro-code in the house standard.");
  }
}

}  // namespace

double snap_code(double mm, int dpi) {
  return dots_to_mm(std::round(mm_to_dots(mm, dpi) / k_code_grid_dots) * k_code_grid_dots, dpi);
}

std::vector<std::string> break_artifact_text(const Scheme& scheme, const Number& number,
                                             const ArtifactLabelDesign& design, const Typeface& face) {
  std::optional<char> check;
  if (design.check_character) check = mod_37_36_check(check_character_data(number));
  const std::vector<std::string> pieces = scheme.break_pieces(number, check);
  const std::size_t count = pieces.size();
  std::vector<double> widths;
  for (const std::string& piece : pieces) widths.push_back(line_mm(piece, design.size_pt, face));
  std::vector<Breaking> best(count + 1);
  best[count] = {0, 0, 0, count};
  for (std::size_t start = count; start-- > 0;) {
    double width = 0;
    for (std::size_t end = start + 1; end <= count; ++end) {
      width += widths[end - 1];
      const Breaking& rest = best[end];
      const Breaking one{rest.over_mm + std::max(0.0, width - design.widest_mm), rest.lines + 1,
                         std::max(rest.widest_mm, width), end};
      if (better(one, best[start])) best[start] = one;
    }
  }
  std::vector<std::string> lines;
  for (std::size_t at = 0; at < count; at = best[at].first_end) {
    std::string line;
    for (std::size_t i = at; i < best[at].first_end; ++i) line += pieces[i];
    lines.push_back(std::move(line));
  }
  return lines;
}

LabelSize artifact_label_size(const std::vector<std::string>& lines, const ArtifactLabelDesign& design,
                              const Typeface& face, const std::optional<SymbolMatrix>& micro_code, int dpi) {
  const double padding = 2 * design.trim_tolerance_mm;
  LabelSize size{widest_line_mm(lines, design.size_pt, face),
                 label_text_height_mm(lines.size(), design.size_pt, design.rule_mm)};
  if (micro_code) {
    const ModuleSize module = smallest_module(*micro_code, design.micro_module_mm, dpi);
    const double dot = dots_to_mm(k_code_grid_dots, dpi);  // the code moves to the nearest of them
    size.w_mm += k_code_gap_em * pt_to_mm(design.size_pt) + module.size_mm + dot;
    size.h_mm = std::max(size.h_mm, module.size_mm + dot);
  }
  return {size.w_mm + padding, size.h_mm + padding};
}

SymbolMatrix micro_code_symbol(SymbolFormat format, const std::string& text) {
  return format == SymbolFormat::data_matrix ? make_data_matrix(text) : make_micro_qr(text, ErrorLevel::m);
}

ArtifactLabelShape shape_artifact_label(const ArtifactLabelRequest& request, const HouseStandard& standard,
                                        const Typeface& face) {
  const ArtifactLabelFit fit = fit_artifact_label(request.number, request.largest_mm, standard, face);
  if (!fit.fits)
    throw data_error(fmt::format("{}: {}", request.number.text(), fit.reason), {},
                     "Plan again: it gets a tag only. Or allow smaller type or a larger share in the house standard.");
  ArtifactLabelShape shape;
  shape.size_pt = fit.size_pt;
  shape.most_mm = fit.allowed_mm;
  shape.lines = fit.lines;
  shape.size = fit.size;
  if (const auto code = micro_code_of(request.number, standard)) {
    shape.code = code->symbol;
    shape.code_text = code->text;
    shape.module_dots = smallest_module(*shape.code, standard.artifact.micro_module_mm, standard.printer.dpi).dots;
  }
  return shape;
}

std::optional<MicroCodeShape> micro_code_of(const Number& number, const HouseStandard& standard) {
  if (standard.artifact.micro_code == MicroCode::none) return std::nullopt;
  std::string text = write_micro_code({number.text()});
  SymbolMatrix symbol = symbol_for(number, standard.artifact.micro_code, text);
  return MicroCodeShape{std::move(symbol), std::move(text)};
}

MicroCodePlace micro_code_place(const ArtifactLabelShape& shape, const ArtifactLabelDesign& design,
                                const Typeface& face, int dpi) {
  const SymbolMatrix& symbol = *shape.code;
  const double half_dot = dots_to_mm(k_code_grid_dots / 2.0, dpi);
  return {design.trim_tolerance_mm + widest_line_mm(shape.lines, shape.size_pt, face) +
              k_code_gap_em * pt_to_mm(shape.size_pt) + half_dot,
          dots_to_mm((symbol.width_modules + 2 * symbol.quiet_zone_modules) * shape.module_dots, dpi)};
}

void draw_artifact_label(Canvas& canvas, const PlacedLabel& label, const ArtifactLabelDesign& design,
                         const Typeface& face) {
  const double em = pt_to_mm(label.font_pt);
  const double x = label.x_mm + design.trim_tolerance_mm;
  const double top = label.y_mm + label_text_top_mm(label.h_mm, label.lines.size(), label.font_pt, design.rule_mm);
  std::vector<RectMm> rules;
  for (std::size_t i = 0; i < label.lines.size(); ++i) {
    const std::u32string line = code_points(label.lines[i]);
    const double baseline = top + label_baseline_mm(i, label.font_pt);
    canvas.exact_line(face, label.font_pt, {x, baseline}, line);
    rules.push_back({x, baseline + k_rule_gap_em * em, face.width_em(line) * em, design.rule_mm});
  }
  canvas.rectangles(rules);
  if (!label.code) return;
  const SymbolMatrix symbol = micro_code_symbol(label.code->format, label.code->text);
  const double quiet =
      label.code->size_mm * symbol.quiet_zone_modules / (symbol.width_modules + 2 * symbol.quiet_zone_modules);
  canvas.symbol(symbol, {label.code->x_mm + quiet, label.code->y_mm + quiet}, label.code->module_dots);
}

}  // namespace sherdmark
