#include "sherdmark/report/grade_report.h"
#include "report/json_value.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"

namespace sherdmark {
namespace {

using Json = JsonValue;

constexpr std::string_view k_estimate =
    "These are estimates by the parameters of ISO/IEC 15415: a camera or scanner whose light, aperture and scale of "
    "reflectance nobody calibrated is no verifier. The whitest paper in the picture is taken to send back 85 %. "
    "Compare "
    "pictures taken in one way with each other.";

std::string value_words(const ParameterGrade& one) {
  if (!one.value) return "";
  switch (one.parameter) {
    case GradeParameter::grid_nonuniformity:
      return fmt::format("{:.2f} modules", *one.value);
    case GradeParameter::modulation:
      return fmt::format("lowest {:.2f}", *one.value);
    default:
      return fmt::format("{:.0f} %", 100 * *one.value);
  }
}

// What a size that is off tells; nothing when it is true.
std::string size_words(const PrintedSize& size) {
  if (std::abs(size.share_off()) <= k_most_size_off) return {};
  const bool small = size.share_off() < 0;
  return fmt::format(
      "Printed {:.1f} % {} than true size: modules of {:.3f} mm where {:.3f} mm were drawn. Print at 100 %, without "
      "\"fit to page\", and calibrate the printer.",
      100 * std::abs(size.share_off()), small ? "smaller" : "larger", size.printed_mm, size.drawn_mm);
}

const PrintedSize* size_of(const GradeResult& result, std::size_t symbol) {
  return symbol < result.sizes.size() && result.sizes[symbol] ? &*result.sizes[symbol] : nullptr;
}

std::string one_symbol(const PrintGrade& grade, const PrintedSize* size) {
  std::string text = fmt::format("  {} ({})  {} of {} × {} modules, {:.1f} pixels a module: {}\n",
                                 grade_letter(grade.grade), grade.grade, to_text(grade.format), grade.side_modules,
                                 grade.side_modules, grade.module_px, printable(grade.text));
  for (const ParameterGrade& one : grade.parameters)
    text += fmt::format("      {:<24} {} ({})  {}\n", name_of(one.parameter), grade_letter(one.grade), one.grade,
                        value_words(one));
  if (grade.print_growth)
    text += fmt::format("      {:<24} {:+.0f} % of a module (not graded)\n", "print growth", 100 * *grade.print_growth);
  for (const GradeParameter parameter : held_down_by(grade))
    text += fmt::format("    Held down by {}. {}\n", name_of(parameter), what_to_do(parameter));
  if (const std::string words = size == nullptr ? "" : size_words(*size); !words.empty()) text += "    " + words + "\n";
  if (grade.module_px > 0 && grade.module_px < k_least_grading_module_px)
    text += fmt::format(
        "    The picture is coarse: below {:.0f} pixels a module it, and not the print, decides. Go nearer, or scan at "
        "a higher resolution.\n",
        k_least_grading_module_px);
  return text;
}

Json symbol_json(const PrintGrade& grade, const PrintedSize* size) {
  Json json;
  json["format"] = to_text(grade.format);
  json["text"] = grade.text;
  json["grade"] = grade.grade;
  json["letter"] = std::string(1, grade_letter(grade.grade));
  json["modules"] = grade.side_modules;
  json["module_px"] = grade.module_px;
  json["coarse"] = grade.module_px < k_least_grading_module_px;
  json["parameters"] = Json::array();
  for (const ParameterGrade& one : grade.parameters)
    json["parameters"].push_back({{"parameter", to_text(one.parameter)},
                                  {"grade", one.grade},
                                  {"value", one.value ? Json(*one.value) : Json(nullptr)}});
  json["print_growth"] = grade.print_growth ? Json(*grade.print_growth) : Json(nullptr);
  json["held_down_by"] = Json::array();
  for (const GradeParameter parameter : held_down_by(grade))
    json["held_down_by"].push_back({{"parameter", to_text(parameter)}, {"what_to_do", what_to_do(parameter)}});
  json["size"] = Json(nullptr);
  if (size != nullptr)
    json["size"] = {{"printed_module_mm", size->printed_mm},
                    {"drawn_module_mm", size->drawn_mm},
                    {"what_to_do", size_words(*size)}};
  json["corners"] = Json::array();
  for (const PointF& corner : grade.corners) json["corners"].push_back(Json::list({corner.x, corner.y}));
  return json;
}

}  // namespace

std::optional<PrintedSize> printed_size(const PrintGrade& grade, double scan_dpi, std::span<const Placements> sheets) {
  if (!(grade.module_px > 0) || !(scan_dpi > 0)) return std::nullopt;
  for (const Placements& sheet : sheets)
    for (const PlacedLabel& label : sheet.labels)
      if (label.code && label.code->text == grade.text && label.code->format == grade.format)
        return PrintedSize{dots_to_mm(grade.module_px, scan_dpi), dots_to_mm(label.code->module_dots, sheet.dpi)};
  return std::nullopt;
}

std::optional<int> lowest_grade(std::span<const GradeResult> results) {
  std::optional<int> lowest;
  for (const GradeResult& result : results)
    for (const PrintGrade& grade : result.grades) lowest = std::min(lowest.value_or(4), grade.grade);
  return lowest;
}

std::string grade_text(std::span<const GradeResult> results) {
  std::string text;
  std::size_t symbols = 0;
  for (const GradeResult& result : results) {
    text += printable(result.image) + (result.page > 1 ? fmt::format(", page {}", result.page) : "") + "\n";
    if (result.error) {
      text += "  could not be read: " + printable(*result.error) + "\n";
    } else if (result.grades.empty()) {
      text += "  no symbol that is graded (QR, Micro QR, square Data Matrix)\n";
    }
    for (std::size_t i = 0; i < result.grades.size(); ++i) text += one_symbol(result.grades[i], size_of(result, i));
    symbols += result.grades.size();
  }
  text += fmt::format("{} symbol{} graded.\n", symbols, symbols == 1 ? "" : "s");
  return symbols == 0 ? text : text + std::string{k_estimate} + "\n";
}

std::string grade_json(std::span<const GradeResult> results) {
  Json document;
  document["schema"] = 1;
  document["estimate"] = k_estimate;
  document["images"] = Json::array();
  for (const GradeResult& result : results) {
    Json image;
    image["image"] = result.image;
    image["page"] = result.page;
    image["symbols"] = Json::array();
    for (std::size_t i = 0; i < result.grades.size(); ++i)
      image["symbols"].push_back(symbol_json(result.grades[i], size_of(result, i)));
    image["error"] = result.error ? Json(*result.error) : Json(nullptr);
    document["images"].push_back(std::move(image));
  }
  return document.document();
}

}  // namespace sherdmark
