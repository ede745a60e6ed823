#include "sherdmark/scan/print_grade.h"

#include <algorithm>
#include <cmath>

#include "scan/print_grade_parameters.h"

namespace sherdmark {
namespace {

constexpr double k_margin_share = 0.35;  // of the symbol's box, looked at round it
constexpr int k_least_margin_px = 12;

int quiet_modules(SymbolFormat format) {
  return format == SymbolFormat::qr ? 4 : format == SymbolFormat::micro_qr ? 2 : 1;
}

struct Box {
  int x, y, width, height;
};

Box box_about(const Corners& corners) {
  const auto [left, right] = std::minmax({corners[0].x, corners[1].x, corners[2].x, corners[3].x});
  const auto [top, bottom] = std::minmax({corners[0].y, corners[1].y, corners[2].y, corners[3].y});
  const int margin =
      std::max(k_least_margin_px, static_cast<int>(k_margin_share * std::max(right - left, bottom - top)));
  const int x = static_cast<int>(left) - margin;
  const int y = static_cast<int>(top) - margin;
  return {x, y, static_cast<int>(right) + margin - x, static_cast<int>(bottom) + margin - y};
}

Corners moved(Corners corners, double dx, double dy) {
  for (PointF& corner : corners) corner = {corner.x + dx, corner.y + dy};
  return corners;
}

// The decode by the one threshold that the standard has; failing that by local ones, so that the rest can be measured.
struct Decoded {
  std::optional<ReferenceDecode> decode;
  bool strictly = false;
};

Decoded decode_modules(const MeasuredModules& modules, SymbolFormat format) {
  auto decode = reference_decode(modules.by_threshold(format));
  if (decode) return {std::move(decode), true};
  return {reference_decode(modules.by_surroundings(format)), false};
}

void grade_parameters(PrintGrade& result, const GradedSymbol& symbol, bool strictly, const GradingOptions& options) {
  result.parameters = {{GradeParameter::decode, strictly ? 4 : 0, {}},
                       contrast_grade(symbol.modules, options.paper_reflectance),
                       modulation_grade(symbol),
                       axial_grade(symbol.grid),
                       grid_grade(symbol.grid),
                       unused_correction_grade(symbol.decode),
                       fixed_pattern_grade(symbol),
                       quiet_zone_grade(symbol.modules)};
  result.print_growth = print_growth(symbol);
  result.grade = 4;
  for (const ParameterGrade& one : result.parameters) result.grade = std::min(result.grade, one.grade);
}

PrintGrade grade_one(const GreyView& picture, const CodeReading& reading, const GradingOptions& options) {
  PrintGrade result;
  result.format = reading.format;
  result.text = reading.text;
  result.corners = reading.corners;
  result.parameters = {{GradeParameter::decode, 0, {}}};
  const Box box = box_about(reading.corners);
  const GreyView part = picture.crop(box.x, box.y, box.width, box.height);
  if (part.empty()) return result;
  const double left = std::clamp(box.x, 0, picture.width_px);
  const double top = std::clamp(box.y, 0, picture.height_px);
  CodeReading here = reading;
  here.corners = moved(reading.corners, -left, -top);
  const auto found = find_grid(part, here);
  if (!found) return result;
  MeasuredGrid grid{part, found->corners, found->frame.side_modules};
  const int quiet = quiet_modules(reading.format);
  Decoded first = decode_modules(MeasuredModules{grid, quiet}, reading.format);
  result.side_modules = found->frame.side_modules;
  result.module_px = grid.module_px();
  if (!first.decode) return result;
  grid.settle(first.decode->printed);
  const MeasuredModules modules{grid, quiet};
  Decoded settled = decode_modules(modules, reading.format);
  if (!settled.decode) settled = std::move(first);
  result.module_px = grid.module_px();
  result.corners = moved(grid.corners(), left, top);
  grade_parameters(result, {grid, modules, found->frame, *settled.decode}, settled.strictly, options);
  return result;
}

}  // namespace

std::vector<PrintGrade> grade_codes(const GreyView& picture, const std::vector<CodeReading>& readings,
                                    const GradingOptions& options) {
  std::vector<PrintGrade> grades;
  for (const CodeReading& reading : readings)
    if (!symbol_sides(reading.format).empty()) grades.push_back(grade_one(picture, reading, options));
  return grades;
}

}  // namespace sherdmark
