#include <fmt/format.h>

#include <algorithm>

#include "report/count_words.h"
#include "report/item_facts.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/identity.h"
#include "sherdmark/report/ledger_report.h"
#include "sherdmark/report/register_report.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_most_listed = 20;  // of one kind; --json lists all

std::string meaning_text(NumberMeaning meaning) {
  switch (meaning) {
    case NumberMeaning::item:
      return "an item";
    case NumberMeaning::piece:
      return "a piece of an item";
    case NumberMeaning::lot:
      return "a lot";
    case NumberMeaning::field_number:
      return "a field number";
    case NumberMeaning::former_number:
      return "a former number";
    case NumberMeaning::unknown:
      break;
  }
  return "unknown";
}

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

void add_bag(std::string& text, const Shown& shown) {
  const BagRecord& bag = *shown.bag;
  text += fmt::format("Bag {}{}{}\n", group_identity(bag.id), shown.bag_mark.empty() ? "" : ", marked ",
                      printable(shown.bag_mark));
  for (const BagContent& content : bag.contents)
    text += fmt::format("  holds {}{}{}\n", printable(content.item),
                        content.quantity ? ", " + plural(*content.quantity, "piece", "pieces") : "",
                        content.labelled > 0 ? fmt::format(", {} labelled", content.labelled) : "");
  if (!bag.home_place.empty()) text += fmt::format("  at home in {}\n", printable(bag.home_place));
  if (!bag.now_place.empty() && bag.now_place != bag.home_place)
    text += fmt::format("  now in {}\n", printable(bag.now_place));
  if (!bag.box.empty()) text += fmt::format("  in box {}\n", printable(bag.box));
  if (bag.state == BagState::retired) text += "  retired: not in use any more\n";
  for (const auto& [key, sentence] : shown.standing) text += fmt::format("  {}\n", sentence);
  for (const CheckRecord& check : shown.checks)
    text += fmt::format("  checked {} by {}: {} ({})\n", check.time, printable(check.person), check.verdict,
                        check.evidence);
}

void add_item(std::string& text, const ItemRecord& item, const HouseStandard& standard) {
  text += fmt::format("Item {}\n", printable(item.row.number.text()));
  for (const Fact& fact : item_facts(item, standard))
    text += fmt::format("  {:<16} {}\n", fact.name, fact.restricted ? "(restricted)" : printable(fact.text));
  for (const std::string& bag : item.bags) text += fmt::format("  {:<16} {}\n", "in bag", group_identity(bag));
  if (!item.decision) return;
  text += fmt::format("  {:<16} {}: {}\n", "label", to_text(item.decision->decision), printable(item.decision->reason));
  if (!item.decision->caution.empty())
    text += fmt::format("  {:<16} {}\n", "caution", printable(item.decision->caution));
}

std::string number_sentence(const std::string& asked, const NumberRecord& number) {
  std::string text = fmt::format("{} is {}", printable(asked), meaning_text(number.meaning));
  if (!number.bound_to.empty()) text += fmt::format(", bound to lot {}", printable(number.bound_to));
  if (!number.items.empty())
    text += fmt::format("{}{}", number.meaning == NumberMeaning::piece ? ": " : " and leads to ",
                        printable(join(number.items, ", ")));
  text += ".\n";
  if (!number.formerly.empty())
    text += fmt::format("  Before, it was the number of {}: an object that carries it may be either.\n",
                        printable(join(number.formerly, ", ")));
  return text;
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

std::string labels_text(const RunReport& report) {
  std::string text =
      fmt::format("Run {}: {} on {}.\n", group_identity(report.run.id), plural(report.run.prints, "label", "labels"),
                  plural(report.run.pages, "page", "pages"));
  for (const std::string& file : report.files) text += fmt::format("  {}\n", printable(file));
  for (const std::string& caution : report.cautions) text += fmt::format("  Caution: {}\n", printable(caution));
  if (report.cutting) text += cutting_text(*report.cutting);
  if (!report.printer.empty())
    text += fmt::format("Corrected for the printer \"{}\"; true to size on no other.\n", printable(report.printer));
  return text + fmt::format("Print at 100 %, look at every page, then say which came out well: sherdmark printed {}\n",
                            report.run.id);
}

std::string confirmation_text(const RunReport& report) {
  std::string text =
      fmt::format("Run {}: {} confirmed as printed, {} of {} in all.\n", group_identity(report.run.id),
                  plural(report.confirmed_now, "label", "labels"), report.run.confirmed, report.run.prints);
  if (report.run.confirmed < report.run.prints)
    text += fmt::format("For pages that came out badly: sherdmark labels --reprint {} --pages …\n", report.run.id);
  return text;
}

std::string show_text(const Shown& shown, const HouseStandard& standard) {
  std::string text;
  if (shown.bag) add_bag(text, shown);
  if (shown.item) {
    add_item(text, *shown.item, standard);
    for (const auto& [key, sentence] : shown.standing) text += fmt::format("  {}\n", sentence);
  }
  if (shown.number) {
    text += number_sentence(shown.asked, *shown.number);
    for (const auto& [key, sentence] : shown.standing)
      if (shown.number->bound_to.empty() || key != "state") text += fmt::format("  {}\n", sentence);
  }
  if (shown.label)
    text += fmt::format("  {:<16} revision {}: {} generated, {} printed, {} applied, {} superseded, {} void\n",
                        "artifact label", shown.label->revision, shown.label->generated, shown.label->printed,
                        shown.label->applied, shown.label->superseded, shown.label->voided);
  if (shown.lot) {
    text += fmt::format("Lot {}: {}\n", printable(shown.lot->number), plural(shown.lot->items, "item", "items"));
    for (const ItemRecord& item : shown.lot_items)
      text += fmt::format("  {}  {}\n", printable(item.row.number.text()),
                          is_restricted(standard, "object") ? "(restricted)" : printable(item.row.object));
  }
  if (shown.run)
    text +=
        fmt::format("Run {}: {} labels, {} on {}, {} confirmed as printed; {}; started {} by {}.\n",
                    group_identity(shown.run->id), to_text(shown.run->role),
                    plural(shown.run->prints, "label", "labels"), plural(shown.run->pages, "page", "pages"),
                    shown.run->confirmed, to_text(shown.run->state), shown.run->started, printable(shown.run->person));
  if (shown.print)
    text += fmt::format("Print {}: {} of {}, revision {}, {}, run {}.\n", shown.print->serial,
                        label_of_role(shown.print->role), printable(shown.print->number), shown.print->revision,
                        to_text(shown.print->state), group_identity(shown.print->run));
  return text;
}

std::string history_text(std::span<const HistoryLine> lines) {
  std::string text;
  for (const HistoryLine& line : lines)
    text += fmt::format("{}  {}-{}  {}  {}: {}\n", line.time, line.station, line.sequence, printable(line.person),
                        line.kind, group_identities(printable(line.text)));
  return text;
}

std::string_view to_text(RunState state) {
  switch (state) {
    case RunState::open:
      return "open";
    case RunState::generated:
      return "generated";
    case RunState::printed:
      return "printed";
    case RunState::abandoned:
      return "abandoned";
  }
  return "";
}

std::string_view to_text(PrintState state) {
  switch (state) {
    case PrintState::generated:
      return "generated";
    case PrintState::printed:
      return "printed";
    case PrintState::applied:
      return "applied";
    case PrintState::superseded:
      return "superseded";
    case PrintState::void_:
      return "void";
    case PrintState::spoiled:
      return "spoiled";
  }
  return "";
}

std::string persons_text(std::span<const std::string> persons) {
  std::string text;
  for (const std::string& person : persons) text += printable(person) + "\n";
  return text;
}

std::string standard_text(const HouseStandard& standard) {
  std::string text = fmt::format("{}, edition {}, of {}\n", printable(standard.name), printable(standard.version),
                                 printable(standard.repository));
  for (const Scheme& scheme : standard.schemes)
    text += fmt::format("  scheme {}{}\n", printable(scheme.name()),
                        scheme.name() == standard.default_scheme ? " (default)" : "");
  return text;
}

}  // namespace sherdmark
