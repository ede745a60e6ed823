// An inventory on a terminal.
#include <fmt/format.h>

#include <algorithm>

#include "sherdmark/base/clock.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/inventory_report.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_most_lines_shown = 100;  // of one finding
constexpr std::size_t k_most_places_shown = 60;
constexpr int k_bar_width = 24;

std::string bags(std::int64_t count) { return fmt::format("{} bag{}", count, count == 1 ? "" : "s"); }

std::string head_of(const InventoryReport& report) {
  const InventoryRecord& record = report.record;
  std::string text = fmt::format(
      "Inventory {}: {}\nOpened {} by {}; {}.\n", group_identity(record.id), printable(record.scope.words()),
      time_in_words(record.opened), printable(record.opened_by),
      record.open() ? "still open"
                    : fmt::format("closed {} by {}", time_in_words(record.closed), printable(record.closed_by)));
  text += fmt::format("{} listed at opening: {} to see, {} on loan, {} under restricted care.\n", bags(record.expected),
                      report.totals.wanted(), record.on_loan, record.restricted);
  return text;
}

std::string pace_text(const InventoryReport& report) {
  const InventoryPace& pace = report.pace;
  const std::int64_t left = report.totals.wanted() - report.totals.done();
  std::string text;
  for (const InventoryPace::Day& day : pace.days) text += fmt::format("  {}  {}\n", day.date, bags(day.bags));
  constexpr double k_least_hours = 0.05;
  if (pace.hours < k_least_hours) return text;
  const double an_hour = static_cast<double>(pace.bags) / pace.hours;
  text += fmt::format("  {:.0f} bags an hour over {:.1f} hours", an_hour, pace.hours);
  if (left > 0) text += fmt::format("; about {:.1f} hours left at this pace", static_cast<double>(left) / an_hour);
  return text + ".\n";
}

std::string places_text(const InventoryTotals& totals) {
  std::size_t width = 0;
  for (const auto& [place, progress] : totals.places) width = std::max(width, code_point_count(printable(place)));
  std::string text;
  std::size_t shown = 0;
  for (const auto& [place, progress] : totals.places) {
    if (++shown > k_most_places_shown) continue;
    const std::int64_t seen = progress.seen();
    const std::int64_t wanted = seen + progress.not_found;
    const auto filled = wanted == 0 ? k_bar_width : static_cast<int>(k_bar_width * seen / wanted);
    const std::string name = printable(place);
    if (wanted == 0) {
      text += fmt::format("  {}{}  {} on loan or restricted: not looked for\n", name,
                          std::string(width - code_point_count(name), ' '), progress.exempt);
      continue;
    }
    text += fmt::format("  {}{}  [{}{}]  {} of {}{}\n", name, std::string(width - code_point_count(name), ' '),
                        std::string(static_cast<std::size_t>(filled), '#'),
                        std::string(static_cast<std::size_t>(k_bar_width - filled), '.'), seen, wanted,
                        progress.exempt > 0 ? fmt::format(", {} not looked for", progress.exempt) : "");
  }
  if (shown > k_most_places_shown)
    text += fmt::format("  and {} more places; the CSV has them all.\n", shown - k_most_places_shown);
  return text;
}

std::string one_line(const InventoryReport::Line& shown, const FoundFinding& found) {
  const InventoryLine& line = shown.line;
  std::vector<std::string> parts;
  if (!line.bag.empty()) parts.push_back(group_identity(line.bag));
  if (!shown.number.empty()) parts.push_back(printable(shown.number));
  if (!line.text.empty()) parts.push_back(printable(line.text));
  const std::string home = line.expected_place.empty() ? line.expected_box : line.expected_place;
  if (!home.empty()) parts.push_back("belongs at " + printable(home));
  if (line.bag.empty() && !line.seen_place.empty()) parts.push_back("at " + printable(line.seen_place));
  if (!found.text.empty()) parts.push_back(printable(found.text));
  if (!shown.since.empty()) parts.push_back(shown.since);
  return "  " + join(parts, "  ") + "\n";
}

std::string finding_text(const InventoryReport& report, Finding finding) {
  const std::int64_t count = report.totals.count(finding);
  if (count == 0) return {};
  const bool not_yet = finding == Finding::not_found && report.record.open();
  std::string text = fmt::format("\n{}: {}\n", not_yet ? "Not seen yet" : to_text(finding), count);
  text[1] = static_cast<char>(text[1] >= 'a' && text[1] <= 'z' ? text[1] - 'a' + 'A' : text[1]);
  std::int64_t shown = 0;
  for (const InventoryReport::Line& line : report.lines)
    for (const FoundFinding& found : line.line.findings)
      if (found.finding == finding && shown < static_cast<std::int64_t>(k_most_lines_shown)) {
        ++shown;
        text += one_line(line, found);
      }
  if (shown < count) text += fmt::format("  and {} more; the CSV has them all.\n", count - shown);
  if (!not_yet) text += fmt::format("  What to do: {}\n", remedy_of(finding));
  return text;
}

std::string exempt_text(const InventoryReport& report) {
  std::string text;
  for (const InventoryReport::Line& line : report.lines)
    if (!line.line.exempt.empty())
      text += fmt::format("  {}  {}{}\n", group_identity(line.line.bag), line.line.exempt,
                          line.line.readings > 0 ? ", seen" : "");
  return text.empty() ? text : "\nListed, not lost:\n" + text;
}

}  // namespace

std::string inventory_status_text(const InventoryReport& report) {
  const InventoryTotals& totals = report.totals;
  const std::int64_t wanted = totals.wanted();
  std::string text = head_of(report);
  text += fmt::format("Seen: {} of {} ({:.0f} %), {} left. {} readings.\n", totals.done(), wanted,
                      wanted == 0 ? 100.0 : 100.0 * static_cast<double>(totals.done()) / static_cast<double>(wanted),
                      wanted - totals.done(), totals.readings);
  text += pace_text(report) + places_text(totals);
  for (std::size_t i = 1; i < k_findings; ++i)
    if (totals.findings[i] > 0) text += fmt::format("  {}: {}\n", to_text(static_cast<Finding>(i)), totals.findings[i]);
  return text;
}

std::string inventory_text(const InventoryReport& report) {
  const InventoryTotals& totals = report.totals;
  std::string text = head_of(report);
  text += fmt::format("Seen at home {}, elsewhere {}, without a place {}; {} {}.\n", totals.count(Whereabouts::at_home),
                      totals.count(Whereabouts::elsewhere), totals.count(Whereabouts::place_not_said),
                      report.record.open() ? "not seen yet" : "not found", totals.count(Whereabouts::not_found));
  text += fmt::format("{} readings, {} different prints.\n", totals.readings, totals.prints);
  for (const auto& [evidence, count] : totals.evidence) text += fmt::format("  {}: {}\n", evidence, bags(count));
  text += pace_text(report) + places_text(totals);
  for (std::size_t i = 0; i < k_findings; ++i) text += finding_text(report, static_cast<Finding>(i));
  text += exempt_text(report);
  if (!report.found_numbers.empty()) text += "\nFound numbers given:\n" + found_numbers_text(report.found_numbers);
  if (totals.nothing_found()) text += "\nNothing was found wrong.\n";
  return text + "\nNot tested: that each object is the object its label names.\n";
}

std::string inventories_text(const std::vector<InventoryRecord>& records) {
  if (records.empty()) return "No inventory was ever opened.\n";
  std::string text;
  for (const InventoryRecord& record : records)
    text += fmt::format("{}  {}  {}  {}, {} readings\n", group_identity(record.id), record.opened.substr(0, 10),
                        record.open() ? "open            " : "closed " + record.closed.substr(0, 10),
                        printable(record.scope.words()), record.readings);
  return text;
}

std::string taken_in_text(const InventoryRecord& record, const TakenIn& taken,
                          const std::vector<InventoryLineProblem>& problems) {
  std::string text;
  for (const InventoryLineProblem& problem : problems)
    text += fmt::format("line {}: \"{}\": {}; {}.\n", problem.line, problem.text, problem.what, problem.remedy);
  text += fmt::format("{} reading{} taken into {}.\n", taken.readings, taken.readings == 1 ? "" : "s",
                      group_identity(record.id));
  for (const std::string& number : taken.found_numbers)
    text += fmt::format("Something without a label was given the number {}; put its label with it.\n", number);
  return text;
}

std::string found_numbers_text(const std::vector<FoundNumber>& numbers) {
  if (numbers.empty()) return "No number for found things was ever reserved.\n";
  std::string text;
  for (const FoundNumber& number : numbers) {
    text += fmt::format("  {}  {}", printable(number.number), to_text(number.state));
    if (!number.what.empty()) text += "  " + printable(number.what);
    if (!number.place.empty()) text += "  at " + printable(number.place);
    if (!number.resolution.empty()) text += "  → " + printable(number.resolution);
    text += "\n";
  }
  return text;
}

}  // namespace sherdmark
