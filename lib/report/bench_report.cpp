#include "sherdmark/report/bench_report.h"
#include "report/count_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <span>

#include "sherdmark/base/clock.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

std::string copies_text(const CopyCounts& copies) {
  std::vector<std::string> parts;
  const auto add = [&](std::int64_t n, std::string_view words) {
    if (n > 0) parts.push_back(fmt::format("{} {}", n, words));
  };
  add(copies.waiting, "to apply");
  add(copies.unconfirmed, "not confirmed as printed");
  add(copies.applied, "applied");
  add(copies.filed, "filed");
  add(copies.destroyed, "out of use");
  return parts.empty() ? "none printed" : join(parts, ", ");
}

std::string thing_text(const BenchLine& line) {
  std::vector<std::string> parts;
  for (const std::string* part : {&line.object, &line.material, &line.surface})
    if (!part->empty()) parts.push_back(printable(*part));
  return join(parts, ", ");
}

std::string heading_of(Porosity porosity) {
  switch (porosity) {
    case Porosity::non_porous:
      return "Non-porous: first, adhesive thin";
    case Porosity::middling:
      return "Between the two";
    case Porosity::porous:
      return "Porous: last, adhesive thickened";
  }
  return {};
}

bool same_advice(const BenchAdvice& a, const BenchAdvice& b) {
  return a.porosity == b.porosity && a.place == b.place && a.never == b.never && a.adhesive == b.adhesive;
}

// "Place: … Never: … Adhesive: …", as they stand in the house standard.
std::string advice_text(const BenchAdvice& advice, std::string_view between) {
  return fmt::format("Place: {}{}Never on: {}{}Adhesive: {}", printable(advice.place), between, printable(advice.never),
                     between, printable(advice.adhesive));
}

std::string bags_text(const BenchLine& line) {
  std::vector<std::string> bags;
  for (const std::string& bag : line.bags) bags.push_back(group_identity(bag));
  return join(bags, ", ");
}

std::string pages_text(const BenchLine& line) {
  std::vector<std::string> pages;
  for (const int page : line.pages) pages.push_back(std::to_string(page));
  return join(pages, ", ");
}

std::string drying_words(const Drying& one, const std::string& now) {
  if (!one.bagged.empty()) return fmt::format("closed {}{}", time_in_words(one.bagged), one.early ? ", early" : "");
  if (one.since.empty()) return fmt::format("{} to apply", plural(one.to_apply, "label", "labels"));
  std::string text = one.dry_at(now) ? fmt::format("dry since {}", time_in_words(one.dry_from))
                                     : fmt::format("drying since {}, may be bagged from {}", time_in_words(one.since),
                                                   time_in_words(one.dry_from));
  if (one.to_apply > 0)
    text += fmt::format("; {} still to apply", plural(one.to_apply, "label", "labels"));
  else if (one.dry_at(now))
    text += ": may be bagged";
  return text;
}

// The caution of most of the lines, which stands once above them; empty when none is said twice.
std::string shared_caution(std::span<const BenchLine> lines) {
  std::map<std::string, std::size_t> counts;
  for (const BenchLine& line : lines) ++counts[line.caution];
  counts.erase("");
  if (counts.empty()) return {};
  const auto most = std::ranges::max_element(counts, {}, &std::pair<const std::string, std::size_t>::second);
  return most->second > 1 ? most->first : std::string{};
}

// The lines that share their advice. A column that would say nothing is left out.
ReportTable table_of(std::span<const BenchLine> lines, const std::string& shared) {
  const bool texts = std::ranges::any_of(lines, [](const BenchLine& line) { return line.text != line.number; });
  const auto caution_of = [&shared](const BenchLine& line) {
    if (line.caution == shared) return std::string{};
    return line.caution.empty() ? std::string{"None of its own."} : printable(line.caution);
  };
  const bool cautions = std::ranges::any_of(lines, [&](const BenchLine& line) { return !caution_of(line).empty(); });
  ReportTable table;
  table.columns.push_back({"Number", 1.8, ReportCell::left, 10, true});
  if (texts) table.columns.push_back({"Label reads", 1.6, ReportCell::left, 9});
  table.columns.push_back({"On what", 2.8, ReportCell::left, 8});
  if (cautions) table.columns.push_back({"Caution", 3.6, ReportCell::left, 7.5});
  table.columns.push_back({"Bag", 1.2, ReportCell::left, 8});
  table.columns.push_back({"Page", 0.6, ReportCell::right, 8});
  table.columns.push_back({"To apply", 0.7, ReportCell::right, 10, true});
  table.columns.push_back({"Done", 0.6, ReportCell::tick, 8});
  table.when_empty = "None.";
  for (const BenchLine& line : lines) {
    std::vector<std::string>& row = table.rows.emplace_back();
    row.push_back(printable(line.number));
    if (texts) row.push_back(printable(line.text));
    row.push_back(thing_text(line));
    if (cautions) row.push_back(caution_of(line));
    row.push_back(bags_text(line));
    row.push_back(pages_text(line));
    row.push_back(std::to_string(line.copies.left_over()));
    row.emplace_back(line.copies.left_over() == 0 ? "yes" : "");
  }
  return table;
}

void add_lines(Report& report, const BenchList& list) {
  const std::span<const BenchLine> lines{list.lines};
  for (std::size_t first = 0, end = 0; first < lines.size(); first = end) {
    const BenchAdvice& advice = lines[first].advice;
    end = first + 1;
    while (end < lines.size() && same_advice(lines[end].advice, advice)) ++end;
    if (first == 0 || lines[first - 1].advice.porosity != advice.porosity)
      report.blocks.push_back(ReportHeading{heading_of(advice.porosity)});
    const std::span<const BenchLine> together = lines.subspan(first, end - first);
    const std::string shared = shared_caution(together);
    ReportTable table = table_of(together, shared);
    const bool own = std::ranges::any_of(together, [&](const BenchLine& line) { return line.caution != shared; });
    const bool read_alike = table.columns[1].head != "Label reads";
    report.blocks.push_back(ReportText{
        advice_text(advice, "\n") +
            (shared.empty()
                 ? ""
                 : fmt::format("\nCaution{}: {}", own ? ", where a line has no other" : "", printable(shared))) +
            (read_alike ? "\nEach label reads as the number does." : ""),
        false, 8.5});
    report.blocks.push_back(std::move(table));
  }
}

}  // namespace

std::string bench_scope(const BenchList& list) {
  return list.bag.empty() ? "run " + group_identity(list.run) : "bag " + group_identity(list.bag);
}

std::string bench_list_text(const BenchList& list, const HouseStandard& standard) {
  std::string text = fmt::format("Bench list for {}: {}.\n{}\n", bench_scope(list), copies_text(list.copies),
                                 working_order_in_words());
  if (list.withheld) text += "This bag is under restricted care: no label, no picture; consult before it is opened.\n";
  const BenchAdvice* before = nullptr;
  std::size_t number = 0;
  for (const BenchLine& line : list.lines) {
    if (!before || before->porosity != line.advice.porosity)
      text += fmt::format("\n{}\n", heading_of(line.advice.porosity));
    if (!before || !same_advice(*before, line.advice)) text += fmt::format("  {}\n", advice_text(line.advice, "\n  "));
    before = &line.advice;
    text += fmt::format("{:>4}  {}  {}\n", ++number, printable(line.number), copies_text(line.copies));
    if (line.text != line.number) text += fmt::format("      label reads {}\n", printable(line.text));
    if (const std::string thing = thing_text(line); !thing.empty()) text += fmt::format("      {}\n", thing);
    if (!line.bags.empty()) text += fmt::format("      bag {}\n", bags_text(line));
    if (!line.pages.empty()) text += fmt::format("      run {}, page {}\n", group_identity(line.run), pages_text(line));
    if (!line.caution.empty()) text += fmt::format("      Caution: {}\n", printable(line.caution));
  }
  if (list.lines.empty()) text += "Nothing here gets an artifact label.\n";
  for (const std::string& never : list.never) text += fmt::format("Never label {}\n", printable(never));
  text += fmt::format("Drying: {} hours before anything is bagged.\n", standard.drying_hours);
  for (const std::string& caution : list.cautions) text += fmt::format("Caution: {}\n", printable(caution));
  return text;
}

Report bench_list_pages(const BenchList& list, const HouseStandard& standard, ReportHead head) {
  Report report{std::move(head), {}};
  report.blocks.push_back(ReportText{working_order_in_words()});
  std::string cautions;
  for (const std::string& caution : list.cautions) cautions += (cautions.empty() ? "" : "\n") + printable(caution);
  if (!cautions.empty()) report.blocks.push_back(ReportNotice{"Before you start", cautions});
  if (list.withheld)
    report.blocks.push_back(
        ReportNotice{"Restricted care", "No label, no picture. Consult before this bag is opened."});
  if (!list.never.empty()) {
    std::string never;
    for (const std::string& one : list.never) never += (never.empty() ? "" : "\n") + printable(one);
    report.blocks.push_back(ReportNotice{"Never label", never});
  }
  add_lines(report, list);
  if (list.lines.empty()) report.blocks.push_back(ReportText{"Nothing here gets an artifact label."});
  report.blocks.push_back(ReportHeading{"When you stop"});
  report.blocks.push_back(ReportText{fmt::format(
      "{} in all. Read each label on its object aloud against this list before you take the next. Nothing is bagged "
      "for {} hours after the last label. A sheet is done when every copy is applied, filed or destroyed by count.",
      plural(list.copies.all(), "copy", "copies"), standard.drying_hours)});
  report.blocks.push_back(ReportSignatures{{"Applied by", "Glued up at (time)"}});
  return report;
}

std::string settled_text(const BenchSubject& subject, CopyFate fate, const std::vector<std::string>& serials) {
  return fmt::format("{} of {}: {} ({}).\n", plural(static_cast<std::int64_t>(serials.size()), "copy", "copies"),
                     printable(subject.role == LabelRole::artifact ? subject.number : group_identity(subject.subject)),
                     to_text(fate), join(serials, ", "));
}

std::string sheet_closing_text(const SheetClosing& closing, const std::string& run) {
  if (closing.closed)
    return fmt::format("Run {}: every copy is applied, filed or destroyed; {}.\n", group_identity(run),
                       closing.was_closed ? "it was closed before" : "closed");
  std::string text = fmt::format("Run {} stays open; left over:\n", group_identity(run));
  for (const BenchLine& line : closing.left_over)
    text += fmt::format("  {}  {} (page {})\n", printable(line.number), copies_text(line.copies), pages_text(line));
  return text + "Apply them, or say what became of them: sherdmark bench filed|destroyed NUMBER --copies N\n";
}

std::string drying_text(const std::vector<Drying>& bags, const std::string& now) {
  std::string text;
  for (const Drying& one : bags) text += fmt::format("{}  {}\n", group_identity(one.bag), drying_words(one, now));
  return text.empty() ? "Nothing is drying.\n" : text;
}

std::string bag_closing_text(const BagClosing& closing) {
  const std::string bag = group_identity(closing.before.bag);
  if (!closing.early) return fmt::format("Bag {}: closed.\n", bag);
  std::string why;
  if (!closing.before.since.empty() && closing.before.to_apply == 0)
    why = fmt::format("its labels dry until {}", time_in_words(closing.before.dry_from));
  else if (closing.before.to_apply > 0)
    why = fmt::format("{} not applied", plural(closing.before.to_apply, "label is", "labels are"));
  if (closing.written) return fmt::format("Bag {}: closed EARLY, {}. The reason is kept.\n", bag, why);
  return fmt::format("Bag {}: NOT closed, {}. Wait, or say why it cannot wait with --reason.\n", bag, why);
}

}  // namespace sherdmark
