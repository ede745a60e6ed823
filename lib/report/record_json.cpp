// What the ledger holds, as JSON: key names are a contract (docs/commands.md).
#include "report/item_facts.h"
#include "report/json_value.h"
#include "report/run_json.h"
#include "sherdmark/report/export_tables.h"
#include "sherdmark/report/ledger_report.h"
#include "sherdmark/report/register_report.h"

namespace sherdmark {
namespace {

using Json = JsonValue;

Json document() { return Json::object({{"schema", 1}}); }

Json text_or_null(const std::string& text) { return text.empty() ? Json{nullptr} : Json{text}; }

// Text for what may be shown; of the others the names, as "restricted".
void add_facts(Json& json, const std::vector<Fact>& facts) {
  Json restricted = Json::array();
  for (const Fact& fact : facts) {
    if (fact.restricted)
      restricted.push_back(fact.name);
    else
      json[fact.name] = fact.text;
  }
  json["restricted"] = restricted;
}

Json bag_json(const Shown& shown, const HouseStandard& standard) {
  const BagRecord& bag = *shown.bag;
  Json contents = Json::array();
  for (const BagContent& content : bag.contents)
    contents.push_back({{"item", content.item},
                        {"quantity", Json(content.quantity)},
                        {"labelled", content.labelled},
                        {"unlabelled", Json(content.unlabelled)}});
  Json checks = Json::array();
  for (const CheckRecord& check : shown.checks)
    checks.push_back({{"time", check.time},
                      {"person", check.person},
                      {"verdict", check.verdict},
                      {"evidence", check.evidence},
                      {"expected", check.expected},
                      {"seen", check.seen}});
  Json json{{"id", bag.id},
            {"mark", text_or_null(shown.bag_mark)},
            {"active", bag.state == BagState::active},
            {"contents", contents},
            {"home", nullptr},
            {"now", nullptr},
            {"box", nullptr},
            {"lent", bag.lent},
            {"checks", checks}};
  add_facts(json, whereabouts(bag, standard));
  return json;
}

Json item_json(const ItemRecord& item, const HouseStandard& standard) {
  Json json{{"number", item.row.number.text()}};
  add_facts(json, item_facts(item, standard));
  json["bags"] = item.bags;
  json["label"] = item.decision ? Json::object({{"decision", to_text(item.decision->decision)},
                                                {"rule", item.decision->rule},
                                                {"reason", item.decision->reason},
                                                {"caution", text_or_null(item.decision->caution)}})
                                : Json{nullptr};
  return json;
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

}  // namespace

Json run_record_json(const RunRecord& run) {
  return {{"run", run.id},          {"role", to_text(run.role)}, {"state", to_text(run.state)},
          {"pages", run.pages},     {"labels", run.prints},      {"confirmed", run.confirmed},
          {"started", run.started}, {"person", run.person},      {"reprint_of", text_or_null(run.reprint_of)}};
}

std::string show_json(const Shown& shown, const HouseStandard& standard) {
  Json json = document();
  json["asked"] = shown.asked;
  json["bag"] = shown.bag ? bag_json(shown, standard) : Json{nullptr};
  json["item"] = shown.item ? item_json(*shown.item, standard) : Json{nullptr};
  json["standing"] = Json::object();
  for (const auto& [key, sentence] : shown.standing) json["standing"][key] = sentence;
  json["artifact_label"] = shown.label ? Json::object({{"revision", shown.label->revision},
                                                       {"generated", shown.label->generated},
                                                       {"printed", shown.label->printed},
                                                       {"applied", shown.label->applied},
                                                       {"superseded", shown.label->superseded},
                                                       {"void", shown.label->voided}})
                                       : Json{nullptr};
  json["lot"] = Json{nullptr};
  if (shown.lot) {
    Json items = Json::array();
    for (const ItemRecord& item : shown.lot_items) items.push_back(item.row.number.text());
    json["lot"] = {{"number", shown.lot->number}, {"items", items}};
  }
  json["number"] = shown.number ? Json::object({{"meaning", meaning_name(shown.number->meaning)},
                                                {"items", shown.number->items},
                                                {"bound_to", text_or_null(shown.number->bound_to)},
                                                {"formerly", shown.number->formerly}})
                                : Json{nullptr};
  json["run"] = shown.run ? run_record_json(*shown.run) : Json{nullptr};
  json["print"] = shown.print ? Json::object({{"serial", shown.print->serial},
                                              {"role", to_text(shown.print->role)},
                                              {"subject", shown.print->subject},
                                              {"number", shown.print->number},
                                              {"revision", shown.print->revision},
                                              {"state", to_text(shown.print->state)},
                                              {"run", shown.print->run}})
                              : Json{nullptr};
  return json.document();
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
  return json.document();
}

std::string events_jsonl(const Ledger& ledger) {
  std::string lines;
  ledger.for_each_event([&lines](const Event& event) {
    const Json json{{"station", event.station},   {"sequence", event.sequence}, {"time", event.time},
                    {"person", event.person},     {"kind", event.kind},         {"payload", event.payload},
                    {"previous", event.previous}, {"hash", event.hash}};
    lines += json.line();
  });
  return lines;
}

std::string persons_json(std::span<const std::string> persons) {
  Json json = document();
  json["persons"] = Json::array();
  for (const std::string& person : persons) json["persons"].push_back(person);
  return json.document();
}

std::string standard_json(const HouseStandard& standard) {
  Json json = document();
  json["name"] = standard.name;
  json["version"] = standard.version;
  json["repository"] = standard.repository;
  json["schemes"] = Json::array();
  for (const Scheme& scheme : standard.schemes) json["schemes"].push_back(scheme.name());
  return json.document();
}

}  // namespace sherdmark
