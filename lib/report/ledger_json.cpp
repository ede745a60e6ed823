#include <nlohmann/json.hpp>

#include "report/item_facts.h"
#include "sherdmark/report/check_report.h"
#include "sherdmark/report/export_tables.h"
#include "sherdmark/report/ledger_report.h"
#include "sherdmark/report/register_report.h"

namespace sherdmark {
namespace {

using Json = nlohmann::ordered_json;

Json document() { return Json{{"schema", 1}}; }

// Bytes that are no UTF-8 become U+FFFD; nothing here throws over text.
std::string written(const Json& json) { return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n"; }

template <typename T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
}

Json text_or_null(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }

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
                      {"before", field.restricted ? Json(nullptr) : Json(field.before)},
                      {"after", field.restricted ? Json(nullptr) : Json(field.after)},
                      {"restricted", field.restricted}});
  return {{"number", change.number}, {"fields", fields}, {"stale", stale_json(change.stale)}};
}

Json bag_json(const Shown& shown) {
  const BagRecord& bag = *shown.bag;
  Json contents = Json::array();
  for (const BagContent& content : bag.contents)
    contents.push_back({{"item", content.item},
                        {"quantity", or_null(content.quantity)},
                        {"labelled", content.labelled},
                        {"unlabelled", or_null(content.unlabelled)}});
  Json checks = Json::array();
  for (const CheckRecord& check : shown.checks)
    checks.push_back({{"time", check.time},
                      {"person", check.person},
                      {"verdict", check.verdict},
                      {"evidence", check.evidence},
                      {"expected", check.expected},
                      {"seen", check.seen}});
  return {{"id", bag.id},
          {"mark", text_or_null(shown.bag_mark)},
          {"active", bag.state == BagState::active},
          {"contents", contents},
          {"home", text_or_null(bag.home_place)},
          {"now", text_or_null(bag.now_place)},
          {"box", text_or_null(bag.box)},
          {"lent", bag.lent},
          {"checks", checks}};
}

Json item_json(const ItemRecord& item, const HouseStandard& standard) {
  Json json{{"number", item.row.number.text()}};
  Json restricted = Json::array();
  for (const Fact& fact : item_facts(item, standard)) {
    if (fact.restricted)
      restricted.push_back(fact.name);
    else
      json[fact.name] = fact.text;
  }
  json["restricted"] = restricted;
  json["bags"] = item.bags;
  json["label"] = item.decision ? Json{{"decision", to_text(item.decision->decision)},
                                       {"rule", item.decision->rule},
                                       {"reason", item.decision->reason},
                                       {"caution", text_or_null(item.decision->caution)}}
                                : Json(nullptr);
  return json;
}

Json run_record_json(const RunRecord& run) {
  return {{"run", run.id},          {"role", to_text(run.role)}, {"state", to_text(run.state)},
          {"pages", run.pages},     {"labels", run.prints},      {"confirmed", run.confirmed},
          {"started", run.started}, {"person", run.person},      {"reprint_of", text_or_null(run.reprint_of)}};
}

std::string_view meaning_name(NumberMeaning meaning) {
  switch (meaning) {
    case NumberMeaning::item:
      return "item";
    case NumberMeaning::piece:
      return "piece";
    case NumberMeaning::lot:
      return "lot";
    case NumberMeaning::field_number:
      return "field number";
    case NumberMeaning::former_number:
      return "former number";
    case NumberMeaning::unknown:
      break;
  }
  return "unknown";
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
         {"micro_qr", one.micro.micro_qr ? fit_json(*one.micro.micro_qr) : Json(nullptr)},
         {"data_matrix", fit_json(one.micro.data_matrix)},
         {"artifact_label", {{"w_mm", one.label.w_mm}, {"h_mm", one.label.h_mm}, {"lines", one.lines}}}});
  return written(json);
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
  json["dry_run"] = report.dry_run;
  json["set_aside"] = report.set_aside;
  json["taken_in"] = Json(nullptr);
  if (report.result)
    json["taken_in"] = {{"new", report.result->added},
                        {"changed", report.result->changed},
                        {"bags_made", report.result->bags_made},
                        {"prints_superseded", report.result->prints_superseded},
                        {"without_bag", report.result->without_bag}};
  return written(json);
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
  json["stored"] = Json(nullptr);
  if (report.result)
    json["stored"] = {{"new", report.result->labels_new},
                      {"revised", report.result->labels_revised},
                      {"unchanged", report.result->labels_unchanged},
                      {"prints_superseded", report.result->prints_superseded}};
  return written(json);
}

std::string run_json(const RunReport& report) {
  Json json = document();
  json.update(run_record_json(report.run));
  json["files"] = report.files;
  json["confirmed_now"] = report.confirmed_now;
  json["printer"] = text_or_null(report.printer);
  json["cutting"] = Json(nullptr);
  if (const auto& cost = report.cutting)
    json["cutting"] = {{"strokes", cost->strokes},
                       {"seconds", cost->seconds},
                       {"strokes_bound", cost->strokes_bound},
                       {"keeps_order", cost->keeps_order},
                       {"other_order_strokes", cost->other_strokes},
                       {"other_order_seconds", cost->other_seconds}};
  return written(json);
}

std::string show_json(const Shown& shown, const HouseStandard& standard) {
  Json json = document();
  json["asked"] = shown.asked;
  json["bag"] = shown.bag ? bag_json(shown) : Json(nullptr);
  json["item"] = shown.item ? item_json(*shown.item, standard) : Json(nullptr);
  json["standing"] = Json::object();
  for (const auto& [key, sentence] : shown.standing) json["standing"][key] = sentence;
  json["artifact_label"] = shown.label
                               ? Json{{"revision", shown.label->revision},     {"generated", shown.label->generated},
                                      {"printed", shown.label->printed},       {"applied", shown.label->applied},
                                      {"superseded", shown.label->superseded}, {"void", shown.label->voided}}
                               : Json(nullptr);
  json["lot"] = Json(nullptr);
  if (shown.lot) {
    Json items = Json::array();
    for (const ItemRecord& item : shown.lot_items) items.push_back(item.row.number.text());
    json["lot"] = {{"number", shown.lot->number}, {"items", items}};
  }
  json["number"] = shown.number ? Json{{"meaning", meaning_name(shown.number->meaning)},
                                       {"items", shown.number->items},
                                       {"bound_to", text_or_null(shown.number->bound_to)}}
                                : Json(nullptr);
  json["run"] = shown.run ? run_record_json(*shown.run) : Json(nullptr);
  json["print"] = shown.print ? Json{{"serial", shown.print->serial},
                                     {"role", to_text(shown.print->role)},
                                     {"subject", shown.print->subject},
                                     {"number", shown.print->number},
                                     {"revision", shown.print->revision},
                                     {"state", to_text(shown.print->state)},
                                     {"run", shown.print->run}}
                              : Json(nullptr);
  return written(json);
}

std::string history_json(const std::string& subject, std::span<const HistoryLine> lines) {
  Json json = document();
  json["subject"] = subject;
  json["events"] = Json::array();
  for (const HistoryLine& line : lines)
    json["events"].push_back({{"station", line.station},
                              {"sequence", line.sequence},
                              {"time", line.time},
                              {"person", line.person},
                              {"kind", line.kind},
                              {"text", line.text}});
  return written(json);
}

std::string events_jsonl(const Ledger& ledger) {
  std::string lines;
  ledger.for_each_event([&lines](const Event& event) {
    const Json json{{"station", event.station},   {"sequence", event.sequence}, {"time", event.time},
                    {"person", event.person},     {"kind", event.kind},         {"payload", event.payload},
                    {"previous", event.previous}, {"hash", event.hash}};
    lines += json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
  });
  return lines;
}

std::vector<CheckRecord> check_records(std::span<const SetVerdict> verdicts) {
  std::vector<CheckRecord> records;
  for (const SetVerdict& verdict : verdicts) {
    const Json set = Json::parse(check_json({&verdict, 1})).at("sets").at(0);
    CheckRecord record;
    record.set = verdict.set;
    record.bag = verdict.bag.value_or("");
    record.number = verdict.number.value_or("");
    record.verdict = to_text(verdict.verdict);
    record.evidence = to_text(verdict.evidence);
    record.expected = verdict.expected;
    record.seen = verdict.seen;
    record.place_checked = verdict.place_checked;
    for (const Reason& reason : verdict.reasons) record.reasons.push_back({reason.code, reason.text});
    record.images = verdict.images;
    record.readings_json = set.at("readings").dump();
    records.push_back(std::move(record));
  }
  return records;
}

std::string persons_json(std::span<const std::string> persons) {
  Json json = document();
  json["persons"] = Json::array();
  for (const std::string& person : persons) json["persons"].push_back(person);
  return written(json);
}

std::string standard_json(const HouseStandard& standard) {
  Json json = document();
  json["name"] = standard.name;
  json["version"] = standard.version;
  json["repository"] = standard.repository;
  json["schemes"] = Json::array();
  for (const Scheme& scheme : standard.schemes) json["schemes"].push_back(scheme.name());
  return written(json);
}

}  // namespace sherdmark
