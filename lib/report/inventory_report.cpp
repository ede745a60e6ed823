#include "sherdmark/report/inventory_report.h"

#include <fmt/format.h>

#include <algorithm>

#include "sherdmark/base/text.h"
#include "sherdmark/catalog/read_catalog.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_csv_rows = 2000;  // written at a time

std::string fading_words(const FadingLabel& label) {
  return fmt::format("The print {} was graded {:.1f} on {}, {:.1f} at first.", label.serial, label.last,
                     label.graded.substr(0, 10), label.first);
}

std::map<std::string, std::string> fading_by_bag(const Ledger& ledger, const InventoryRecord& record) {
  std::map<std::string, std::string> fading;
  for (const FadingLabel& label : fading_labels(ledger, record.id)) fading[label.bag] = fading_words(label);
  return fading;
}

// The line with what lies outside the reconciliation: fading labels.
InventoryLine completed(const InventoryLine& line, const std::map<std::string, std::string>& fading) {
  InventoryLine all = line;
  if (const auto found = fading.find(line.bag); found != fading.end() && !line.bag.empty())
    all.findings.push_back({Finding::fading, found->second});
  return all;
}

InventoryTotals run(const Ledger& ledger, const InventoryRecord& record,
                    const std::function<void(const InventoryLine&)>& tell) {
  InventoryStreams streams{ledger, record.id};
  const auto fading = fading_by_bag(ledger, record);
  InventoryTotals totals =
      reconcile([&](ExpectedBag& bag) { return streams.next_expected(bag); },
                [&](SeenReading& reading) { return streams.next_seen(reading); },
                [&](const InventoryLine& line) { tell(fading.empty() ? line : completed(line, fading)); });
  totals.findings[static_cast<std::size_t>(Finding::fading)] = static_cast<std::int64_t>(fading.size());
  return totals;
}

std::vector<std::string> csv_row(const InventoryLine& line, const BagWords& words) {
  std::vector<std::string> findings;
  std::vector<std::string> texts;
  for (const FoundFinding& found : line.findings) {
    findings.emplace_back(to_text(found.finding));
    if (!found.text.empty()) texts.push_back(found.text);
  }
  if (!words.since.empty()) texts.push_back(words.since + ".");
  const auto or_empty = [](const std::optional<std::int64_t>& count) { return count ? std::to_string(*count) : ""; };
  return {group_identity(line.bag),
          line.exempt == "restricted" ? "" : words.number,
          std::string{line.bag.empty() ? "" : to_text(line.where)},
          line.exempt,
          line.expected_place,
          line.expected_box,
          line.seen_place,
          line.evidence,
          std::to_string(line.readings),
          std::to_string(line.prints),
          or_empty(line.pieces_expected),
          or_empty(line.pieces_counted),
          join(findings, "; "),
          join(texts, " "),
          line.text,
          line.last_seen,
          line.last_seen_by};
}

const std::vector<std::string>& csv_header() {
  static const std::vector<std::string> header{
      "bag",      "number",   "where",    "exempt",    "expected_place",  "expected_box",
      "seen_at",  "evidence", "readings", "prints",    "pieces_expected", "pieces_counted",
      "findings", "remarks",  "text",     "last_seen", "last_seen_by"};
  return header;
}

}  // namespace

InventoryReport inventory_report(const Ledger& ledger, const InventoryRecord& record, bool keep_lines) {
  InventoryReport report;
  report.record = record;
  std::map<std::string, std::size_t> kept;
  report.totals = run(ledger, record, [&](const InventoryLine& line) {
    if (!keep_lines || (line.findings.empty() && line.exempt.empty())) return;
    const std::string first{line.findings.empty() ? std::string_view{line.exempt}
                                                  : to_text(line.findings.front().finding)};
    if (++kept[first] > k_most_report_lines) {
      ++report.left_out[first];
      return;
    }
    const BagWords words = line.bag.empty() ? BagWords{} : bag_words(ledger, line.bag, record.opened);
    report.lines.push_back({line, line.exempt == "restricted" ? "" : words.number, words.since});
  });
  report.pace = inventory_pace(ledger, record.id);
  report.grade_years = grade_years(ledger, record.id);
  for (FoundNumber& number : found_numbers(ledger))
    if (number.inventory == record.id) report.found_numbers.push_back(std::move(number));
  return report;
}

void write_inventory_csv(const Ledger& ledger, const InventoryRecord& record, const ByteSink& sink) {
  const std::string beginning = write_csv(csv_header(), {});
  sink(as_byte_span(beginning));
  std::vector<std::vector<std::string>> rows;
  const auto write = [&] {
    const std::string text = write_csv(csv_header(), rows);
    sink(as_byte_span(std::string_view{text}.substr(beginning.size())));
    rows.clear();
  };
  (void)run(ledger, record, [&](const InventoryLine& line) {
    rows.push_back(csv_row(line, line.bag.empty() ? BagWords{} : bag_words(ledger, line.bag, record.opened)));
    if (rows.size() == k_csv_rows) write();
  });
  write();
}

}  // namespace sherdmark
