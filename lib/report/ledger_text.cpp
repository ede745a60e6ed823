#include <fmt/format.h>

#include "report/count_words.h"
#include "report/item_facts.h"
#include "sherdmark/base/clock.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/identity.h"
#include "sherdmark/report/ledger_report.h"
#include "sherdmark/report/register_report.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

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

std::string words_of(const Fact& fact) { return fact.restricted ? "(restricted)" : printable(fact.text); }

std::string_view whereabouts_words(std::string_view name) {
  return name == "home" ? "at home in" : name == "now" ? "now in" : "in box";
}

void add_bag(std::string& text, const Shown& shown, const HouseStandard& standard) {
  const BagRecord& bag = *shown.bag;
  text += fmt::format("Bag {}{}{}\n", group_identity(bag.id), shown.bag_mark.empty() ? "" : ", marked ",
                      printable(shown.bag_mark));
  for (const BagContent& content : bag.contents)
    text += fmt::format("  holds {}{}{}\n", printable(content.item),
                        content.quantity ? ", " + plural(*content.quantity, "piece", "pieces") : "",
                        content.labelled > 0 ? fmt::format(", {} labelled", content.labelled) : "");
  for (const Fact& fact : whereabouts(bag, standard))
    if (fact.name != "now" || bag.now_place != bag.home_place)
      text += fmt::format("  {} {}\n", whereabouts_words(fact.name), words_of(fact));
  if (bag.state == BagState::retired) text += "  retired: not in use any more\n";
  for (const auto& [key, sentence] : shown.standing) text += fmt::format("  {}\n", sentence);
  for (const CheckRecord& check : shown.checks)
    text += fmt::format("  checked {} by {}: {} ({})\n", time_in_words(check.time), printable(check.person),
                        check.verdict, check.evidence);
}

void add_item(std::string& text, const ItemRecord& item, const HouseStandard& standard) {
  text += fmt::format("Item {}\n", printable(item.row.number.text()));
  for (const Fact& fact : item_facts(item, standard)) text += fmt::format("  {:<16} {}\n", fact.name, words_of(fact));
  for (const std::string& bag : item.bags) text += fmt::format("  {:<16} {}\n", "in bag", group_identity(bag));
  if (!item.decision) return;
  text += fmt::format("  {:<16} {}: {}\n", "label", to_text(item.decision->decision), printable(item.decision->reason));
  if (!item.decision->caution.empty())
    text += fmt::format("  {:<16} {}\n", "caution", printable(item.decision->caution));
}

// What a person with the label in hand does about it.
std::string_view print_sentence(PrintState state) {
  switch (state) {
    case PrintState::generated:
      return "Nobody has said yet that it came out of the printer well.";
    case PrintState::superseded:
      return "Do not use it any more: a newer one stands for it, or is due. Take it off when that one goes on.";
    case PrintState::void_:
    case PrintState::spoiled:
      return "Do not use it any more.";
    case PrintState::printed:
    case PrintState::applied:
      break;
  }
  return {};
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
  if (report.confirmed_now == 0)
    return fmt::format(
        "Run {0}: nothing there waits to be confirmed; {1} of {2} are confirmed.{3}\n", group_identity(report.run.id),
        report.run.confirmed, plural(report.run.prints, "label", "labels"),
        report.run.confirmed < report.run.prints
            ? fmt::format(" What became of the others, which may be void, spoiled or replaced: sherdmark spares {}",
                          report.run.id)
            : std::string{});
  std::string text =
      fmt::format("Run {}: {} confirmed as printed, {} of {} in all.\n", group_identity(report.run.id),
                  plural(report.confirmed_now, "label", "labels"), report.run.confirmed, report.run.prints);
  if (report.run.confirmed < report.run.prints)
    text += fmt::format("For pages that came out badly: sherdmark labels --reprint {} --pages …\n", report.run.id);
  return text;
}

std::string show_text(const Shown& shown, const HouseStandard& standard) {
  std::string text;
  if (shown.bag) add_bag(text, shown, standard);
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
    text += fmt::format("Run {}: {} labels, {} on {}, {} confirmed as printed; {}; started {} by {}.\n",
                        group_identity(shown.run->id), to_text(shown.run->role),
                        plural(shown.run->prints, "label", "labels"), plural(shown.run->pages, "page", "pages"),
                        shown.run->confirmed, to_text(shown.run->state), time_in_words(shown.run->started),
                        printable(shown.run->person));
  if (shown.print) {
    text += fmt::format("Print {}: {} of {}, revision {}, {}, run {}.\n", shown.print->serial,
                        label_of_role(shown.print->role), printable(shown.print->number), shown.print->revision,
                        to_text(shown.print->state), group_identity(shown.print->run));
    if (const std::string_view sentence = print_sentence(shown.print->state); !sentence.empty())
      text += fmt::format("  {}\n", sentence);
  }
  return text;
}

std::string history_text(std::span<const HistoryLine> lines) {
  std::string text;
  for (const HistoryLine& line : lines)
    text += fmt::format("{}  {}-{}  {}  {}: {}\n", time_in_words(line.time), line.station, line.sequence,
                        printable(line.person), line.kind, group_identities(printable(line.text)));
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
