#include "sherdmark/report/field_report.h"
#include "report/json_value.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "sherdmark/base/text.h"
#include "sherdmark/report/ledger_report.h"

namespace sherdmark {
namespace {

using Json = JsonValue;

constexpr std::array k_states{FieldState::reserved, FieldState::issued, FieldState::bound,
                              FieldState::spoiled,  FieldState::lost,   FieldState::returned};

// The digits at the end, and what stands before them.
std::pair<std::string_view, std::string_view> cut(std::string_view number) {
  std::size_t digits = number.size();
  while (digits > 0 && number[digits - 1] >= '0' && number[digits - 1] <= '9') --digits;
  return {number.substr(0, digits), number.substr(digits)};
}

bool follows(const std::string& before, const std::string& number) {
  const auto [prefix, digits] = cut(before);
  const auto [next_prefix, next_digits] = cut(number);
  const auto a = parse_integer(digits), b = parse_integer(next_digits);
  return prefix == next_prefix && a && b && *b == *a + 1;
}

std::string runs_of(const std::vector<std::string>& numbers) {
  std::vector<std::string> runs;
  for (std::size_t i = 0; i < numbers.size();) {
    std::size_t last = i;
    while (last + 1 < numbers.size() && follows(numbers[last], numbers[last + 1])) ++last;
    runs.push_back(last == i       ? numbers[i]
                   : last == i + 1 ? numbers[i] + ", " + numbers[last]
                                   : numbers[i] + " to " + numbers[last]);
    i = last + 1;
  }
  return printable(join(runs, ", "));
}

std::string block_text(const FieldBlock& block) {
  std::vector<std::string> all;
  for (const FieldNumberRecord& number : block.numbers) all.push_back(number.number);
  std::string text = block.reserved.empty()
                         ? fmt::format("From catalogs: {}\n", runs_of(all))
                         : fmt::format("{}: {} ({} numbers, reserved {} at station {})\n", printable(block.crew),
                                       runs_of(all), all.size(), block.reserved.substr(0, 10), block.station);
  for (const FieldState state : k_states) {
    std::vector<std::string> numbers;
    for (const FieldNumberRecord& number : block.numbers)
      if (number.state == state) numbers.push_back(number.number);
    if (!numbers.empty()) text += fmt::format("  {:<9} {:>5}  {}\n", to_text(state), numbers.size(), runs_of(numbers));
  }
  return text;
}

std::string problem_line(const std::string& file, const FieldLogProblem& problem) {
  return fmt::format("{}, row {}: {}: {}. {}{}.\n", printable(file), problem.row, printable(problem.number),
                     printable(problem.what), to_upper_ascii(problem.remedy.substr(0, 1)),
                     printable(problem.remedy.substr(1)));
}

bool stands_against(const FieldLogProblem& problem, bool rebind) { return !rebind || !problem.bound_elsewhere; }

// "… row 2: FS 401: this number is bound to 16ZQ5/1 already; it goes to 16ZQ5/3."
std::string rebound_line(const BindReport& report, const FieldLogProblem& problem) {
  const auto row = std::ranges::find(report.reading.rows, problem.row, &FieldLogRow::row);
  return fmt::format("{}, row {}: {}: {}; it {} to {}.\n", printable(report.file), problem.row,
                     printable(problem.number), printable(problem.what), report.result ? "went" : "would go",
                     row == report.reading.rows.end() ? "another lot" : printable(row->lot));
}

}  // namespace

std::string field_numbers_text(const FieldNumbersReport& report) {
  std::string text;
  if (!report.act.empty())
    text += fmt::format("{} {}: {}.\n", report.changed.size(), report.act, runs_of(report.changed));
  if (report.act == "reserved") text += "They go to the crew with: sherdmark reserve issue NUMBERS\n";
  if (report.act == "issued") text += "Their tags: sherdmark labels --for field-tags --out DIR\n";
  if (report.act.empty() && report.blocks.empty())
    text += report.crew.empty() ? "No field numbers yet.\n"
                                : fmt::format("No block belongs to \"{}\".\n", printable(report.crew));
  if (report.act.empty())
    for (const FieldBlock& block : report.blocks) text += block_text(block);
  return text;
}

std::string field_numbers_json(const FieldNumbersReport& report) {
  Json json{{"schema", 1}};
  json["act"] = report.act.empty() ? Json(nullptr) : Json(report.act);
  json["changed"] = report.changed;
  Json blocks = Json::array();
  for (const FieldBlock& block : report.blocks) {
    Json one;
    one["crew"] = block.reserved.empty() ? Json(nullptr) : Json(block.crew);
    one["station"] = block.reserved.empty() ? Json(nullptr) : Json(block.station);
    one["reserved"] = block.reserved.empty() ? Json(nullptr) : Json(block.reserved);
    Json numbers = Json::array();
    for (const FieldNumberRecord& number : block.numbers)
      numbers.push_back({{"number", number.number},
                         {"state", to_text(number.state)},
                         {"lot", number.lot.empty() ? Json(nullptr) : Json(number.lot)}});
    one["numbers"] = std::move(numbers);
    blocks.push_back(std::move(one));
  }
  json["blocks"] = std::move(blocks);
  return json.document();
}

bool BindReport::good() const {
  return reading.good() && std::none_of(problems.begin(), problems.end(), [this](const FieldLogProblem& problem) {
           return stands_against(problem, rebind);
         });
}

std::string bind_text(const BindReport& report) {
  std::size_t wrong = 0;
  std::vector<std::pair<std::size_t, std::string>> lines;  // row, line
  for (const CatalogProblem& problem : report.reading.problems) {
    if (problem.severity == Severity::problem) ++wrong;
    std::string line = problem_text(problem);
    if (!line.ends_with('\n')) line += '\n';
    lines.emplace_back(problem.row, std::move(line));
  }
  for (const FieldLogProblem& problem : report.problems) {
    if (!stands_against(problem, report.rebind)) {
      lines.emplace_back(problem.row, rebound_line(report, problem));
      continue;
    }
    ++wrong;
    lines.emplace_back(problem.row, problem_line(report.file, problem));
  }
  std::ranges::stable_sort(lines, {}, &std::pair<std::size_t, std::string>::first);
  std::string text;
  for (const auto& [row, line] : lines) text += line;
  const std::size_t count = report.rows;
  const std::string rows = fmt::format("{} {}", count, count == 1 ? "row" : "rows");
  if (wrong > 0) {
    return text + fmt::format("{}: {} {} in {}; nothing was bound.\n", printable(report.file), wrong,
                              wrong == 1 ? "problem" : "problems", rows);
  }
  if (!report.result)
    return text + fmt::format("{}: {}, {}; nothing was bound, this was a dry run.\n", printable(report.file), rows,
                              count == 1 ? "it fits" : "all fit");
  const BindResult& done = *report.result;
  text +=
      fmt::format("{}: {} bound, {} bound again to another lot, {} as before.\n", printable(report.file), done.bound,
                  done.rebound, static_cast<std::int64_t>(report.reading.rows.size()) - done.bound - done.rebound);
  if (done.prints_superseded > 0)
    text += fmt::format(
        "{} label{} of these numbers {} printed before and {} not valid any more: {} out of use when the new goes in. "
        "Next: sherdmark labels --due --out DIR\n",
        done.prints_superseded, done.prints_superseded == 1 ? "" : "s", done.prints_superseded == 1 ? "was" : "were",
        done.prints_superseded == 1 ? "is" : "are", done.prints_superseded == 1 ? "it goes" : "they go");
  return text;
}

std::string bind_json(const BindReport& report) {
  Json problems = Json::array();
  for (const CatalogProblem& problem : report.reading.problems)
    problems.push_back({{"severity", problem.severity == Severity::warning ? "warning" : "problem"},
                        {"row", problem.row},
                        {"number", nullptr},
                        {"column", problem.column},
                        {"what", problem.what},
                        {"remedy", problem.remedy}});
  for (const FieldLogProblem& problem : report.problems)
    problems.push_back({{"severity", stands_against(problem, report.rebind) ? "problem" : "warning"},
                        {"row", problem.row},
                        {"number", problem.number},
                        {"column", nullptr},
                        {"what", problem.what},
                        {"remedy", problem.remedy}});
  Json json{
      {"schema", 1}, {"file", report.file}, {"rows", report.rows}, {"dry_run", report.dry_run}, {"problems", problems}};
  json["bound"] = report.result ? Json(report.result->bound) : Json(nullptr);
  json["rebound"] = report.result ? Json(report.result->rebound) : Json(nullptr);
  json["prints_superseded"] = report.result ? Json(report.result->prints_superseded) : Json(nullptr);
  return json.document();
}

std::vector<FieldBinding> field_bindings(std::span<const FieldLogRow> rows) {
  std::vector<FieldBinding> bindings;
  for (const FieldLogRow& row : rows)
    bindings.push_back(
        {row.row,
         row.number,
         row.lot,
         row.crew,
         {{"unit", row.unit}, {"stratum", row.stratum}, {"level", row.level}, {"feature", row.feature}}});
  return bindings;
}

}  // namespace sherdmark
