// An inventory on paper, and labels for found numbers.
#include <fmt/format.h>

#include <algorithm>

#include "report/count_words.h"
#include "sherdmark/base/clock.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/inventory_report.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_most_bars = 40;
constexpr std::size_t k_most_rows = 1000;  // of one finding on paper

std::string moment(const std::string& time, const std::string& person) { return time_in_words(time) + " by " + person; }

std::string share(std::int64_t part, std::int64_t whole) {
  return whole == 0
             ? std::to_string(part)
             : fmt::format("{} ({:.1f} %)", part, 100.0 * static_cast<double>(part) / static_cast<double>(whole));
}

ReportNotice statement(const InventoryReport& report) {
  const InventoryTotals& totals = report.totals;
  std::string text = fmt::format("Of {} bags that should be here, {} were seen at home", totals.wanted(),
                                 totals.count(Whereabouts::at_home));
  if (const auto elsewhere = totals.count(Whereabouts::elsewhere); elsewhere > 0)
    text += fmt::format(", {} elsewhere", elsewhere);
  if (const auto not_said = totals.count(Whereabouts::place_not_said); not_said > 0)
    text += fmt::format(", {} without anybody saying where", not_said);
  text += fmt::format("; {} {}. ", totals.count(Whereabouts::not_found),
                      report.record.open() ? "are still to be seen" : "were not found");
  if (totals.count(Whereabouts::exempt) > 0)
    text += fmt::format("Nobody had to look for {} more: {} on loan, {} under restricted care. ",
                        totals.count(Whereabouts::exempt), totals.on_loan, totals.restricted);
  text +=
      "\"Seen\" means that a label was read or keyed, at the level of evidence given; it does not say that each "
      "object is the object its label names.";
  return {report.record.open() ? "This inventory is still open" : "What this inventory says", text};
}

ReportFacts facts(const InventoryReport& report) {
  const InventoryRecord& record = report.record;
  const InventoryTotals& totals = report.totals;
  ReportFacts facts{{{"Opened", moment(record.opened, record.opened_by)},
                     {"Closed", record.open() ? "still open" : moment(record.closed, record.closed_by)},
                     {"Listed at opening", fmt::format("{} bags", record.expected)},
                     {"Readings", fmt::format("{}, of {} different prints", totals.readings, totals.prints)}}};
  std::int64_t all_seen = 0;  // also bags nobody had to look for
  for (const auto& [evidence, count] : totals.evidence) all_seen += count;
  for (const auto& [evidence, count] : totals.evidence)
    facts.facts.push_back({"Evidence", fmt::format("{}: {}", evidence, share(count, all_seen))});
  if (!report.pace.days.empty()) {
    const std::string first = report.pace.days.front().date;
    facts.facts.push_back(
        {"Days", report.pace.days.size() == 1
                     ? first
                     : fmt::format("{}, from {} to {}", report.pace.days.size(), first, report.pace.days.back().date)});
    if (report.pace.hours > 0.05)
      facts.facts.push_back(
          {"Pace", fmt::format("{:.0f} bags an hour over {:.1f} hours",
                               static_cast<double>(report.pace.bags) / report.pace.hours, report.pace.hours)});
  }
  return facts;
}

ReportBars bars(const InventoryTotals& totals, bool open) {
  ReportBars bars{
      "By place",
      {"seen at home", "seen elsewhere, or nobody said where", "not looked for", open ? "not seen yet" : "not found"},
      {}};
  std::size_t left_out = 0;
  for (const auto& [place, progress] : totals.places) {
    if (bars.bars.size() == k_most_bars) {
      ++left_out;
      continue;
    }
    const std::int64_t seen = progress.seen();
    const std::int64_t wanted = seen + progress.not_found;
    std::string note = wanted == 0 ? std::string{} : fmt::format("{} of {}", seen, wanted);
    if (progress.exempt > 0) note += fmt::format("{}{} not looked for", note.empty() ? "" : ", ", progress.exempt);
    bars.bars.push_back(
        {place,
         {static_cast<double>(progress.at_home), static_cast<double>(progress.elsewhere + progress.place_not_said),
          static_cast<double>(progress.exempt), static_cast<double>(progress.not_found)},
         note});
  }
  if (left_out > 0) bars.title += fmt::format(" (the first {}; the CSV has {} more)", k_most_bars, left_out);
  return bars;
}

ReportTable summary(const InventoryReport& report) {
  ReportTable table{
      {{"Finding", 1.2, ReportCell::left, 8, true}, {"How many", 0.6, ReportCell::right}, {"What to do", 4}},
      {},
      "Nothing was found wrong."};
  for (std::size_t i = 0; i < k_findings; ++i)
    if (report.totals.findings[i] > 0) {
      const auto finding = static_cast<Finding>(i);
      const bool not_yet = finding == Finding::not_found && report.record.open();
      table.rows.push_back({std::string{not_yet ? "not seen yet" : to_text(finding)},
                            std::to_string(report.totals.findings[i]),
                            std::string{not_yet ? "Go on." : remedy_of(finding)}});
    }
  return table;
}

std::string capitalised(std::string_view words) {
  std::string text{words};
  text.front() = to_upper_ascii(text.substr(0, 1)).front();
  return text;
}

void add_finding(const InventoryReport& report, Finding finding, Report& pages) {
  const std::int64_t count = report.totals.count(finding);
  if (count == 0) return;
  ReportTable table{{{"", 0.3, ReportCell::tick},
                     {"Bag", 1, ReportCell::left, 8, true},
                     {"Number", 1.6},
                     {"Belongs at", 2.6},
                     {"Remarks", 2.4}},
                    {}};
  for (const InventoryReport::Line& shown : report.lines) {
    const InventoryLine& line = shown.line;
    for (const FoundFinding& found : line.findings) {
      if (found.finding != finding || table.rows.size() == k_most_rows) continue;
      std::vector<std::string> remarks;
      if (!line.text.empty())
        remarks.push_back((line.text.starts_with("no record") ? capitalised(line.text) : line.text) +
                          (found.text.empty() ? "." : ":"));
      if (!found.text.empty()) remarks.push_back(found.text);
      if (line.bag.empty() && !line.seen_place.empty()) remarks.push_back("Seen at " + line.seen_place + ".");
      if (!shown.since.empty()) remarks.push_back(capitalised(shown.since) + ".");
      const std::string box = line.expected_box.empty() ? "" : box_words(line.expected_box);
      table.rows.push_back({"", group_identity(line.bag), shown.number,
                            line.expected_place.empty() ? box
                            : box.empty()               ? line.expected_place
                                                        : line.expected_place + ", " + box,
                            join(remarks, " ")});
    }
  }
  const bool not_yet = finding == Finding::not_found && report.record.open();
  pages.blocks.emplace_back(
      ReportHeading{fmt::format("{}: {}", not_yet ? "Not seen yet" : capitalised(to_text(finding)), count)});
  const auto shown = static_cast<std::int64_t>(table.rows.size());
  pages.blocks.emplace_back(std::move(table));
  if (shown < count)
    pages.blocks.emplace_back(ReportText{fmt::format("The CSV of this inventory lists {} more.", count - shown)});
}

void add_exempt(const InventoryReport& report, Report& pages) {
  ReportTable table{{{"Bag", 1, ReportCell::left, 8, true}, {"Why", 1}, {"Belongs at", 2}, {"Seen", 1}}, {}};
  for (const InventoryReport::Line& shown : report.lines)
    if (!shown.line.exempt.empty() && table.rows.size() < k_most_rows)
      table.rows.push_back({group_identity(shown.line.bag), shown.line.exempt, shown.line.expected_place,
                            shown.line.readings > 0 ? "yes" : "not looked for"});
  if (table.rows.empty()) return;
  pages.blocks.emplace_back(ReportHeading{"Listed, not lost"});
  pages.blocks.emplace_back(std::move(table));
}

void add_found_numbers(const InventoryReport& report, Report& pages) {
  if (report.found_numbers.empty()) return;
  ReportTable table{{{"Number", 1, ReportCell::left, 8, true},
                     {"State", 0.7},
                     {"What", 2},
                     {"Where", 1.5},
                     {"Turned out to be", 1.5}},
                    {}};
  for (const FoundNumber& number : report.found_numbers)
    table.rows.push_back(
        {number.number, std::string{to_text(number.state)}, number.what, number.place, number.resolution});
  pages.blocks.emplace_back(ReportHeading{"Numbers given to things without a label"});
  pages.blocks.emplace_back(std::move(table));
}

// All years have bars of one length, however many labels were graded: what counts is how the shares change.
ReportBar grade_bar(const GradeYear& year) {
  ReportBar bar{year.year, {}, {}};
  std::vector<std::string> figures;
  for (std::size_t i = 0; i < year.labels.size(); ++i) {
    bar.parts.push_back(static_cast<double>(year.labels[i]) / static_cast<double>(year.all()));
    if (year.labels[i] > 0) figures.push_back(fmt::format("{} {}", year.labels[i], k_grade_bands[i]));
  }
  bar.note = fmt::format("{} graded: {}", year.all(), join(figures, ", "));
  return bar;
}

// Only where there is something to compare.
void add_grades(const InventoryReport& report, Report& pages) {
  if (report.grade_years.empty()) return;
  ReportBars bars{"Grades over the years: how well the labels of these bags are printed", {}, {}};
  for (const char* band : k_grade_bands) bars.parts.emplace_back(band);
  for (const GradeYear& year : report.grade_years) {
    bars.bars.push_back(grade_bar(year));
  }
  pages.blocks.emplace_back(std::move(bars));
}

}  // namespace

Report inventory_pages(const InventoryReport& report, ReportHead head) {
  Report pages{std::move(head), {}};
  pages.blocks.emplace_back(statement(report));
  pages.blocks.emplace_back(facts(report));
  if (!report.totals.places.empty()) pages.blocks.emplace_back(bars(report.totals, report.record.open()));
  add_grades(report, pages);
  pages.blocks.emplace_back(ReportHeading{"Findings"});
  pages.blocks.emplace_back(summary(report));
  for (std::size_t i = 0; i < k_findings; ++i) add_finding(report, static_cast<Finding>(i), pages);
  add_found_numbers(report, pages);
  add_exempt(report, pages);
  pages.blocks.emplace_back(ReportSignatures{{"Taken by", "Seen by"}});
  return pages;
}

Report found_number_pages(const std::vector<std::string>& numbers, ReportHead head) {
  Report pages{std::move(head), {}};
  pages.blocks.emplace_back(
      ReportNotice{"For things found without a label or a record",
                   "Cut along the lines. Lay the label with the thing, never on it, and write what it is, where it lay "
                   "and when. The "
                   "number stays open in the ledger until somebody says what the thing turned out to be."});
  ReportTable table{{{"Number", 1.6, ReportCell::left, 16, true}, {"What, where, when, by whom", 3}}, {}};
  for (const std::string& number : numbers)
    table.rows.push_back({number,
                          "found without a record\n\n_____________________________________________\n\n"
                          "_____________________________________________"});
  pages.blocks.emplace_back(std::move(table));
  return pages;
}

}  // namespace sherdmark
