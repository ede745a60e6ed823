// An inventory as JSON: key names are a contract (docs/commands.md).
#include "report/json_value.h"
#include "sherdmark/report/inventory_report.h"

namespace sherdmark {
namespace {

using Json = JsonValue;

Json record_json(const InventoryRecord& record) {
  Json json;
  json["id"] = record.id;
  json["scope"] = Json::object({{"place", record.scope.place},
                                {"accession", record.scope.accession},
                                {"status", record.scope.status},
                                {"words", record.scope.words()}});
  json["opened"] = record.opened;
  json["opened_by"] = record.opened_by;
  json["closed"] = record.closed.empty() ? Json(nullptr) : Json(record.closed);
  json["closed_by"] = record.closed_by.empty() ? Json(nullptr) : Json(record.closed_by);
  json["expected"] = record.expected;
  json["on_loan"] = record.on_loan;
  json["restricted"] = record.restricted;
  json["readings"] = record.readings;
  return json;
}

Json totals_json(const InventoryTotals& totals) {
  Json json;
  json["to_see"] = totals.wanted();
  json["seen"] = totals.done();
  json["left"] = totals.wanted() - totals.done();
  json["seen_at_home"] = totals.count(Whereabouts::at_home);
  json["seen_elsewhere"] = totals.count(Whereabouts::elsewhere);
  json["seen_place_not_said"] = totals.count(Whereabouts::place_not_said);
  json["not_found"] = totals.count(Whereabouts::not_found);
  json["exempt"] = totals.count(Whereabouts::exempt);
  json["prints"] = totals.prints;
  json["readings"] = totals.readings;
  json["evidence"] = Json::object();
  for (const auto& [evidence, count] : totals.evidence) json["evidence"][evidence] = count;
  json["findings"] = Json::object();
  for (std::size_t i = 0; i < k_findings; ++i) json["findings"][to_text(static_cast<Finding>(i))] = totals.findings[i];
  return json;
}

Json line_json(const InventoryReport::Line& shown) {
  const InventoryLine& line = shown.line;
  Json json;
  json["bag"] = line.bag.empty() ? Json(nullptr) : Json(line.bag);
  json["number"] = shown.number.empty() ? Json(nullptr) : Json(shown.number);
  json["where"] = line.bag.empty() ? Json(nullptr) : Json(to_text(line.where));
  json["exempt"] = line.exempt.empty() ? Json(nullptr) : Json(line.exempt);
  json["expected_place"] = line.expected_place;
  json["expected_box"] = line.expected_box;
  json["seen_at"] = line.seen_place;
  json["evidence"] = line.evidence;
  json["prints"] = line.prints;
  json["pieces_expected"] = line.pieces_expected;
  json["pieces_counted"] = line.pieces_counted;
  json["text"] = line.text;
  json["since"] = shown.since;
  json["findings"] = Json::array();
  for (const FoundFinding& found : line.findings)
    json["findings"].push_back(Json::object({{"finding", to_text(found.finding)}, {"text", found.text}}));
  return json;
}

Json found_json(const std::vector<FoundNumber>& numbers) {
  Json list = Json::array();
  for (const FoundNumber& number : numbers)
    list.push_back(Json::object({{"number", number.number},
                                 {"state", to_text(number.state)},
                                 {"inventory", number.inventory},
                                 {"place", number.place},
                                 {"what", number.what},
                                 {"resolution", number.resolution}}));
  return list;
}

}  // namespace

std::string inventory_json(const InventoryReport& report) {
  Json document;
  document["schema"] = 1;
  document["inventory"] = record_json(report.record);
  document["totals"] = totals_json(report.totals);
  document["places"] = Json::array();
  for (const auto& [place, progress] : report.totals.places)
    document["places"].push_back(Json::object({{"place", place},
                                               {"seen_at_home", progress.at_home},
                                               {"seen_elsewhere", progress.elsewhere},
                                               {"seen_place_not_said", progress.place_not_said},
                                               {"exempt", progress.exempt},
                                               {"not_found", progress.not_found}}));
  document["grade_years"] = Json::array();
  for (const GradeYear& year : report.grade_years) {
    Json bands = Json::object({});
    for (std::size_t i = 0; i < k_grade_bands.size(); ++i) bands[k_grade_bands[i]] = year.labels[i];
    document["grade_years"].push_back(Json::object({{"year", year.year}, {"labels", std::move(bands)}}));
  }
  document["pace"] = Json::object({{"hours", report.pace.hours}, {"days", Json::array()}});
  for (const InventoryPace::Day& day : report.pace.days)
    document["pace"]["days"].push_back(Json::object({{"date", day.date}, {"bags", day.bags}}));
  document["lines"] = Json::array();
  for (const InventoryReport::Line& line : report.lines) document["lines"].push_back(line_json(line));
  document["left_out"] = Json::object();
  for (const auto& [finding, count] : report.left_out) document["left_out"][finding] = count;
  document["found_numbers"] = found_json(report.found_numbers);
  return document.document();
}

std::string inventories_json(const std::vector<InventoryRecord>& records) {
  Json document;
  document["schema"] = 1;
  document["inventories"] = Json::array();
  for (const InventoryRecord& record : records) document["inventories"].push_back(record_json(record));
  return document.document();
}

std::string taken_in_json(const InventoryRecord& record, const TakenIn& taken,
                          const std::vector<InventoryLineProblem>& problems) {
  Json document;
  document["schema"] = 1;
  document["inventory"] = record.id;
  document["taken_in"] = taken.readings;
  document["found_numbers"] = taken.found_numbers;
  document["problems"] = Json::array();
  for (const InventoryLineProblem& problem : problems)
    document["problems"].push_back(Json::object(
        {{"line", problem.line}, {"text", problem.text}, {"what", problem.what}, {"remedy", problem.remedy}}));
  return document.document();
}

std::string found_numbers_json(const std::vector<FoundNumber>& numbers) {
  Json document;
  document["schema"] = 1;
  document["found_numbers"] = found_json(numbers);
  return document.document();
}

}  // namespace sherdmark
