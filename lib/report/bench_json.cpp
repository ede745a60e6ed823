
#include "report/json_value.h"
#include "sherdmark/report/bench_report.h"

namespace sherdmark {
namespace {

using Json = JsonValue;

Json text_or_null(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }

Json counts_json(const CopyCounts& copies) {
  return {{"unconfirmed", copies.unconfirmed},
          {"waiting", copies.waiting},
          {"applied", copies.applied},
          {"filed", copies.filed},
          {"destroyed", copies.destroyed}};
}

Json line_json(const BenchLine& line) {
  return {{"number", line.number},
          {"text", line.text},
          {"item", line.item},
          {"revision", line.revision},
          {"run", text_or_null(line.run)},
          {"pages", line.pages},
          {"bags", line.bags},
          {"object", text_or_null(line.object)},
          {"material", text_or_null(line.material)},
          {"surface", text_or_null(line.surface)},
          {"porosity", to_text(line.advice.porosity)},
          {"place", line.advice.place},
          {"never", line.advice.never},
          {"adhesive", line.advice.adhesive},
          {"caution", text_or_null(line.caution)},
          {"copies", counts_json(line.copies)}};
}

Json lines_json(const std::vector<BenchLine>& lines) {
  Json list = Json::array();
  for (const BenchLine& line : lines) list.push_back(line_json(line));
  return list;
}

Json drying_json_of(const Drying& one, const std::string& now) {
  return {{"bag", one.bag},
          {"to_apply", one.to_apply},
          {"drying_since", text_or_null(one.since)},
          {"dry_from", text_or_null(one.dry_from)},
          {"may_be_bagged", !one.since.empty() && one.to_apply == 0 && one.dry_at(now)},
          {"bagged", text_or_null(one.bagged)},
          {"early", one.early}};
}

}  // namespace

std::string bench_list_json(const BenchList& list, const HouseStandard& standard, const std::string& file) {
  return Json({{"schema", 1},
               {"run", text_or_null(list.run)},
               {"bag", text_or_null(list.bag)},
               {"order", working_order_in_words()},
               {"withheld", list.withheld},
               {"lines", lines_json(list.lines)},
               {"copies", counts_json(list.copies)},
               {"never_label", list.never},
               {"drying_hours", standard.drying_hours},
               {"cautions", list.cautions},
               {"file", text_or_null(file)}})
      .document();
}

std::string settled_json(const BenchSubject& subject, CopyFate fate, const std::vector<std::string>& serials) {
  return Json({{"schema", 1},
               {"role", to_text(subject.role)},
               {"subject", subject.subject},
               {"number", subject.number},
               {"fate", to_text(fate)},
               {"serials", serials}})
      .document();
}

std::string sheet_closing_json(const SheetClosing& closing, const std::string& run) {
  return Json({{"schema", 1},
               {"run", run},
               {"closed", closing.closed},
               {"was_closed", closing.was_closed},
               {"left_over", lines_json(closing.left_over)}})
      .document();
}

std::string drying_json(const std::vector<Drying>& bags, const std::string& now) {
  Json list = Json::array();
  for (const Drying& one : bags) list.push_back(drying_json_of(one, now));
  return Json({{"schema", 1}, {"now", now}, {"bags", list}}).document();
}

std::string bag_closing_json(const BagClosing& closing) {
  Json json{{"schema", 1},
            {"bag", closing.before.bag},
            {"closed", closing.written},
            {"early", closing.early},
            {"to_apply", closing.before.to_apply},
            {"drying_since", text_or_null(closing.before.since)},
            {"dry_from", text_or_null(closing.before.dry_from)}};
  return json.document();
}

}  // namespace sherdmark
