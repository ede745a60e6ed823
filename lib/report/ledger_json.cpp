// What was taken in, planned and printed, as JSON: key names are a contract (docs/commands.md).
#include "report/json_value.h"
#include "report/run_json.h"
#include "sherdmark/report/ledger_report.h"

namespace sherdmark {
namespace {

using Json = JsonValue;

Json document() { return Json::object({{"schema", 1}}); }

Json text_or_null(const std::string& text) { return text.empty() ? Json{nullptr} : Json{text}; }

Json stale_json(const std::vector<StaleLabel>& labels) {
  Json list = Json::array();
  for (const StaleLabel& label : labels)
    list.push_back({{"role", to_text(label.role)},
                    {"subject", label.subject},
                    {"number", label.number},
                    {"revision", label.revision},
                    {"live_prints", label.live_prints}});
  return list;
}

Json problem_json(const CatalogProblem& problem) {
  return {{"severity", problem.severity == Severity::warning ? "warning" : "problem"},
          {"file", problem.file},
          {"row", problem.row},
          {"column", problem.column},
          {"value", problem.value},
          {"what", problem.what},
          {"remedy", problem.remedy}};
}

Json change_json(const RowChange& change) {
  Json fields = Json::array();
  for (const FieldChange& field : change.fields)
    fields.push_back({{"field", field.field},
                      {"before", field.restricted ? Json{nullptr} : Json(field.before)},
                      {"after", field.restricted ? Json{nullptr} : Json(field.after)},
                      {"restricted", field.restricted}});
  return {{"number", change.number}, {"fields", fields}, {"stale", stale_json(change.stale)}};
}

Json fit_json(const MicroCodeFit& fit) {
  return {{"modules_wide", fit.symbol.width_modules},
          {"modules_high", fit.symbol.height_modules},
          {"module_dots", fit.size.dots},
          {"size_mm", fit.size.size_mm}};
}

}  // namespace

std::string init_json(const InitReport& report) {
  Json json = document();
  json["ledger"] = report.ledger;
  json["collection"] = report.collection_key;
  json["station"] = report.station;
  json["person"] = report.person;
  json["standard"] = {{"name", report.standard_name}, {"version", report.standard_version}};
  json["schemes"] = Json::array();
  for (const WorstCase& one : report.worst_cases)
    json["schemes"].push_back(
        {{"scheme", one.scheme},
         {"longest_number", one.number},
         {"carrier_code",
          {{"format", "qr"},
           {"version", one.carrier.version},
           {"modules", one.carrier.width_modules},
           {"bag_mm", one.bag_code.size_mm},
           {"tag_mm", one.tag_code.size_mm}}},
         {"micro_qr", one.micro.micro_qr ? fit_json(*one.micro.micro_qr) : Json{nullptr}},
         {"data_matrix", fit_json(one.micro.data_matrix)},
         {"artifact_label", {{"w_mm", one.label.w_mm}, {"h_mm", one.label.h_mm}, {"lines", one.lines}}}});
  return json.document();
}

std::string intake_json(const IntakeReport& report) {
  Json json = document();
  json["files"] = Json::array();
  json["problems"] = Json::array();
  for (const CatalogReading& reading : report.readings) {
    json["files"].push_back({{"file", reading.table.file},
                             {"encoding", reading.table.encoding},
                             {"rows", reading.table.rows.size()},
                             {"good", reading.rows.size()},
                             {"warnings", reading.table.warnings}});
    for (const CatalogProblem& problem : reading.problems) json["problems"].push_back(problem_json(problem));
  }
  json["new"] = Json::array();
  for (const std::size_t index : report.diff.added) json["new"].push_back(report.rows[index].number.text());
  json["changed"] = Json::array();
  for (const RowChange& change : report.diff.changed) json["changed"].push_back(change_json(change));
  json["unchanged"] = report.diff.unchanged;
  json["vanished"] = report.diff.vanished;
  json["stale"] = stale_json(report.diff.stale);
  json["kept"] = Json::array();
  for (const StandingRestriction& one : report.kept)
    json["kept"].push_back({{"number", one.item}, {"flag", one.flag}, {"restricted_by", one.person}, {"on", one.time}});
  json["reused"] = Json::array();
  for (const ReusedNumber& one : report.reused)
    json["reused"].push_back({{"number", one.number}, {"before", one.before}, {"now", one.now}});
  json["dry_run"] = report.dry_run;
  json["set_aside"] = report.set_aside;
  json["taken_in"] = Json{nullptr};
  if (report.result)
    json["taken_in"] = {{"new", report.result->added},
                        {"changed", report.result->changed},
                        {"bags_made", report.result->bags_made},
                        {"prints_superseded", report.result->prints_superseded},
                        {"without_bag", report.result->without_bag}};
  return json.document();
}

std::string plan_json(const PlanReport& report) {
  Json json = document();
  json["items"] = Json::array();
  for (const PlannedDecision& decision : report.plan.labels.decisions)
    json["items"].push_back({{"number", decision.item},
                             {"decision", to_text(decision.decision)},
                             {"rule", decision.rule},
                             {"reason", decision.reason},
                             {"caution", text_or_null(decision.caution)}});
  json["artifact_labels"] = Json::array();
  for (const PlannedArtifactLabel& label : report.plan.labels.artifacts) {
    Json bags = Json::array();
    for (const PlannedCopies& one : label.per_bag)
      bags.push_back({{"bag", text_or_null(one.bag)}, {"copies", one.copies}});
    json["artifact_labels"].push_back(
        {{"item", label.item}, {"number", label.number}, {"text", label.text}, {"bags", bags}});
  }
  json["carrier_labels"] = Json::array();
  for (const PlannedCarrierLabel& carrier : report.plan.labels.carriers)
    json["carrier_labels"].push_back({{"role", to_text(carrier.role)},
                                      {"bag", carrier.subject},
                                      {"number", carrier.number},
                                      {"sheets", carrier.sheets}});
  json["fitted"] = Json::array();
  for (const FittedLabel& label : report.plan.fitted)
    json["fitted"].push_back({{"number", label.number},
                              {"size_pt", label.size_pt},
                              {"lines", label.lines},
                              {"w_mm", label.size.w_mm},
                              {"h_mm", label.size.h_mm},
                              {"reason", label.reason}});
  json["withheld"] = report.plan.withheld;
  json["warnings"] = report.plan.warnings;
  json["stored"] = Json{nullptr};
  if (report.result)
    json["stored"] = {{"new", report.result->labels_new},
                      {"revised", report.result->labels_revised},
                      {"unchanged", report.result->labels_unchanged},
                      {"prints_superseded", report.result->prints_superseded}};
  return json.document();
}

namespace {

void add_run(Json& json, const RunReport& report) {
  json.update(run_record_json(report.run));
  json["files"] = report.files;
  json["confirmed_now"] = report.confirmed_now;
  json["printer"] = text_or_null(report.printer);
  json["cutting"] = Json{nullptr};
  if (const auto& cost = report.cutting)
    json["cutting"] = {{"strokes", cost->strokes},
                       {"seconds", cost->seconds},
                       {"strokes_bound", cost->strokes_bound},
                       {"keeps_order", cost->keeps_order},
                       {"order", to_text(cost->order)},
                       {"other_order_strokes", cost->other_strokes},
                       {"other_order_seconds", cost->other_seconds}};
}

}  // namespace

std::string run_json(const RunReport& report) {
  Json json = document();
  add_run(json, report);
  return json.document();
}

std::string queue_json(const std::vector<RunReport>& reports) {
  Json json = document();
  json["runs"] = Json::array();
  for (const RunReport& report : reports) {
    Json run;
    add_run(run, report);
    json["runs"].push_back(std::move(run));
  }
  return json.document();
}

}  // namespace sherdmark
