// A catalog's diff and what is wrong with it, in words.
#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <map>
#include <set>
#include <utility>
#include <vector>

#include "report/count_words.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/ledger_report.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_most_listed = 20;  // of one kind; --json lists all

template <typename Range, typename Write>
void list_some(std::string& text, const Range& range, const Write& write) {
  std::size_t listed = 0;
  for (const auto& one : range) {
    if (listed++ == k_most_listed) {
      text += fmt::format("    … and {} more (--json lists all)\n", range.size() - k_most_listed);
      return;
    }
    text += "    " + write(one) + "\n";
  }
}

std::string stale_text(const StaleLabel& label) {
  return fmt::format("{} of {}, revision {}{}", label_of_role(label.role), printable(label.number), label.revision,
                     label.live_prints > 0 ? ", " + plural(label.live_prints, "copy", "copies") + " to replace" : "");
}

std::string change_text(const RowChange& change) {
  std::string text = printable(change.number) + ":";
  for (const FieldChange& field : change.fields)
    text += field.restricted ? fmt::format(" {} (restricted)", printable(field.field))
                             : fmt::format(" {} \"{}\" → \"{}\"", printable(field.field), printable(field.before),
                                           printable(field.after));
  return text;
}

// How much is wrong, before it is told line by line: what fills more than a screen is first counted by its kind.
std::string problems_summary(const CatalogReading& reading) {
  constexpr std::size_t k_few = 8;
  std::map<std::string, std::size_t> counts;
  std::set<std::size_t> rows;
  std::size_t problems = 0, warnings = 0;
  for (const CatalogProblem& problem : reading.problems) {
    if (problem.severity == Severity::warning) {
      ++warnings;
      continue;
    }
    ++problems;
    rows.insert(problem.row);
    const std::string kind = (problem.column.empty() ? std::string{} : fmt::format("column \"{}\": ", problem.column)) +
                             problem.what.substr(0, problem.what.find(". "));
    ++counts[kind];
  }
  if (problems <= k_few) return {};
  std::string text =
      fmt::format("{}: {} in {}{}.\n", printable(reading.table.file),
                  plural(static_cast<std::int64_t>(problems), "problem", "problems"),
                  plural(static_cast<std::int64_t>(rows.size()), "row", "rows"),
                  warnings == 0 ? "" : ", and " + plural(static_cast<std::int64_t>(warnings), "warning", "warnings"));
  std::vector<std::pair<std::string, std::size_t>> kinds(counts.begin(), counts.end());
  std::ranges::stable_sort(kinds, std::ranges::greater{}, &std::pair<std::string, std::size_t>::second);
  list_some(text, kinds,
            [](const auto& kind) { return fmt::format("{:>5} x {}", kind.second, printable(kind.first)); });
  return text + "Each of them, row by row:\n";
}

}  // namespace

std::string problem_text(const CatalogProblem& problem) {
  std::string text = fmt::format("{}, row {}", printable(problem.file), problem.row);
  if (!problem.column.empty()) text += fmt::format(", column \"{}\"", printable(problem.column));
  text += ": ";
  if (problem.severity == Severity::warning) text += "warning: ";
  if (!problem.value.empty()) text += fmt::format("\"{}\": ", printable(problem.value));
  return text + printable(problem.what) + " " + printable(problem.remedy);
}

std::string intake_text(const IntakeReport& report) {
  std::string text;
  for (const CatalogReading& reading : report.readings) {
    for (const std::string& warning : reading.table.warnings)
      text += fmt::format("{}: warning: {}\n", printable(reading.table.file), printable(warning));
    text += problems_summary(reading);
    for (const CatalogProblem& problem : reading.problems) text += problem_text(problem) + "\n";
  }
  const IntakeDiff& diff = report.diff;
  text += fmt::format("new        {:>7}\n", diff.added.size());
  list_some(text, diff.added, [&](std::size_t i) { return printable(report.rows[i].number.text()); });
  text += fmt::format("changed    {:>7}\n", diff.changed.size());
  list_some(text, diff.changed, change_text);
  text += fmt::format("unchanged  {:>7}\n", diff.unchanged);
  text += fmt::format("vanished   {:>7}\n", diff.vanished.size());
  list_some(text, diff.vanished, [](const std::string& number) { return printable(number); });
  if (!diff.stale.empty()) {
    text += fmt::format("labels made stale {}\n", diff.stale.size());
    list_some(text, diff.stale, stale_text);
  }
  if (!report.kept.empty()) {
    text += fmt::format("kept       {:>7}\n", report.kept.size());
    list_some(text, report.kept, [](const StandingRestriction& one) {
      return fmt::format("{} keeps the care flag \"{}\": restricted by {} on {}", printable(one.item),
                         printable(one.flag), printable(one.person), one.time.substr(0, 10));
    });
  }
  if (!report.reused.empty()) {
    text += fmt::format("reused     {:>7}\n", report.reused.size());
    list_some(text, report.reused, [](const ReusedNumber& one) {
      return fmt::format("{} was the number of {} and leads to {} too: no label that shows it is believed",
                         printable(one.number), printable(one.before), printable(one.now));
    });
  }
  for (const std::string& file : report.set_aside) text += fmt::format("set aside in {}\n", printable(file));
  if (report.result) {
    const IntakeResult& result = *report.result;
    if (!result.without_bag.empty()) {
      text += fmt::format("in no bag  {:>7}\n", result.without_bag.size());
      list_some(text, result.without_bag, [](const std::string& number) { return printable(number); });
    }
    text +=
        fmt::format("Taken in: {}, {}, {}.\n", plural(static_cast<std::int64_t>(result.added), "new item", "new items"),
                    plural(static_cast<std::int64_t>(result.changed), "changed item", "changed items"),
                    plural(static_cast<std::int64_t>(result.bags_made), "new bag", "new bags"));
  } else if (report.dry_run) {
    text += "Dry run: nothing was taken in.\n";
  }
  return text;
}

}  // namespace sherdmark
