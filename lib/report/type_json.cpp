
#include "report/json_value.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "sherdmark/report/type_report.h"

namespace sherdmark {
namespace {

using Json = JsonValue;

std::string utf8(char32_t c) { return encode_utf8({&c, 1}); }

Json to_json(const GlyphPair& pair) {
  return {{"first", utf8(pair.first)}, {"second", utf8(pair.second)}, {"distinctness", pair.distinctness}};
}

Json to_json(const RivalPair& rival) {
  Json json = to_json(rival.pair);
  json["finding"] = rival.pair.distinctness < k_distinctness_limit;
  json["first_number"] = rival.first_number;
  json["second_number"] = rival.second_number;
  return json;
}

Json to_json(const JoinedPair& one) {
  return {{"pair", one.pair},
          {"single", one.single},
          {"distinctness", one.distinctness},
          {"number", one.number},
          {"reads_as", one.reads_as}};
}

Json to_json(const UpsideDownPair& pair) { return {{"number", pair.number}, {"reads_as", pair.reads_as}}; }

Json to_json(const FontMerit& merit, double size_pt) {
  Json worst = Json::array();
  for (const GlyphPair& pair : merit.worst) worst.push_back(to_json(pair));
  const bool usable = merit.why_not.empty();
  return {{"font", merit.family},
          {"usable", usable},
          {"why", merit_text(merit, size_pt)},
          {"findings", usable ? Json(merit.findings) : Json(nullptr)},
          {"zero_and_o", usable ? Json(merit.zero_and_o) : Json(nullptr)},
          {"worst", worst},
          {"mean_of_worst_five", usable ? Json(merit.mean_of_worst_five) : Json(nullptr)},
          {"widest_number_mm", usable ? Json(merit.widest_number_em * pt_to_mm(size_pt)) : Json(nullptr)}};
}

template <typename List>
Json list_of(const List& list) {
  Json json = Json::array();
  for (const auto& one : list) json.push_back(to_json(one));
  return json;
}

Json to_json(const Legibility& size) {
  return {{"cap_mm", size.cap_mm},
          {"x_mm", size.x_mm},
          {"cap_arcmin", size.cap_arcmin},
          {"x_arcmin", size.x_arcmin},
          {"distance_for_16_arcmin_mm", size.distance_at_least_mm},
          {"distance_for_20_arcmin_mm", size.distance_at_preferred_mm},
          {"lens_power", size.lens_power}};
}

}  // namespace

std::string type_json(const TypeReport& report) {
  const TypeJudgement& found = report.judgement;
  Json fonts = Json::array();
  for (const FontMerit& merit : found.fonts) fonts.push_back(to_json(merit, found.conditions.size_pt));
  const Json document{
      {"schema", 1},
      {"font", found.font},
      {"size_pt", found.conditions.size_pt},
      {"printer_dpi", found.conditions.printer_dpi},
      {"toner_spread_mm", found.conditions.toner_spread_mm},
      {"distance_mm", found.conditions.distance_mm},
      {"rule_mm", found.rule.thickness_mm},
      {"source", report.source},
      {"numbers", found.numbers},
      {"characters", found.characters},
      {"check_character", report.check_character},
      {"limit", k_distinctness_limit},
      {"findings", found.findings()},
      {"pairs", list_of(found.rivals)},
      {"joined", list_of(found.joined)},
      {"upside_down", {{"without_rule", list_of(found.turned_bare)}, {"with_rule", list_of(found.turned_with_rule)}}},
      {"legibility", to_json(found.legibility)},
      {"fonts", fonts},
      {"soak_test", {{"safe", report.soak.safe()}, {"text", report.soak.text}}},
      {"file", report.file.empty() ? Json(nullptr) : Json(report.file)}};
  return document.document();
}

}  // namespace sherdmark
