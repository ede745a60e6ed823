#include "sherdmark/ledger/renumber.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "ledger/bag_finder.h"
#include "ledger/core.h"
#include "ledger/item_rows.h"
#include "ledger/stale_labels.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

std::string canonical_or_empty(const HouseStandard& standard, const std::string& written) {
  const auto parsed = standard.parse_number(written);
  return parsed ? parsed->number.text() : std::string{};
}

// The item a number of an item or a piece leads to.
std::optional<std::string> item_of(const Ledger& ledger, const std::string& number) {
  const auto parsed = ledger.standard().parse_number(number);
  const NumberRecord record = ledger.find_number(parsed ? parsed->number.text() : number);
  if (record.items.size() != 1) return std::nullopt;
  if (record.meaning != NumberMeaning::item && record.meaning != NumberMeaning::piece) return std::nullopt;
  return record.items.front();
}

// A former number of several items, or of one while it is the present number of another.
bool leads_to_several(const Ledger& ledger, const std::string& former) {
  const std::string canonical = canonical_or_empty(ledger.standard(), former);
  for (const std::string* number : {&former, &canonical}) {
    const NumberRecord known = ledger.find_number(*number);
    const bool present = known.meaning == NumberMeaning::lot || known.meaning == NumberMeaning::field_number;
    if (known.items.size() > 1 || !known.formerly.empty() || present) return true;
  }
  return false;
}

void require_free(const Ledger& ledger, const std::string& number, const std::string& item) {
  const NumberRecord known = ledger.find_number(number);
  switch (known.meaning) {
    case NumberMeaning::item:
    case NumberMeaning::piece:
    case NumberMeaning::lot:
    case NumberMeaning::field_number:
      throw usage_error(fmt::format("the number {} is taken already", number),
                        "look it up with show, and give another");
    case NumberMeaning::former_number:
      if (known.items == std::vector<std::string>{item}) break;  // it gets back what it had
      throw usage_error(
          fmt::format("the number {} was that of {} before, and an object may still carry it", number,
                      printable(join(known.items, ", "))),
          "give a number that nothing ever had; two objects with one number cannot be told apart by their labels");
    case NumberMeaning::unknown:
      break;
  }
}

}  // namespace

std::string renumber_item(Ledger& ledger, const Actor& actor, const std::string& from, const std::string& to,
                          const std::string& reason) {
  LedgerCore& core = core_of(ledger);
  const HouseStandard& standard = ledger.standard();
  if (trim(reason).empty()) throw usage_error("a changed number needs a reason", "say why the item is renumbered");
  const std::string old_number = canonical_or_empty(standard, from);
  const auto item = find_stored_item(core.db, old_number.empty() ? from : old_number);
  if (!item) throw unknown_thing("item", from, "check the number; a piece follows its item");
  const auto parsed = standard.parse_number(to);
  if (!parsed || parsed->number.level() != NumberLevel::item)
    throw usage_error(fmt::format("\"{}\" is no number of an item in this house standard", printable(to)),
                      "write it as the standard's scheme builds numbers");
  std::string number = parsed->number.text();
  if (number == item->number) throw usage_error("the item has that number already", "give another");
  require_free(ledger, number, item->number);
  CatalogRow row = item->row;
  row.number = parsed->number;
  JsonWriter out;
  out.begin_object().key("from").text(item->number).key("lot").text(lot_of(row, standard));
  out.key("reason").text(trim(reason)).key("revised");
  write_label_names(out, carrier_labels_of(core.db, bags_holding(core.db, item->id)));
  out.key("scheme").text(parsed->number.scheme()).key("to").text(number).end_object();
  core.write(actor, "renumbered", out.take());
  return number;
}

std::vector<ConcordanceProblem> check_concordance(const Ledger& ledger, std::span<const ConcordanceRow> rows) {
  std::vector<ConcordanceProblem> problems;
  for (const ConcordanceRow& row : rows) {
    if (trim(row.former).empty()) {
      problems.push_back({row.row, "the former number is missing"});
      continue;
    }
    if (const auto item = item_of(ledger, row.number); !item)
      problems.push_back({row.row, fmt::format("no item of this ledger has the number {}", printable(row.number))});
    else if (*item == canonical_or_empty(ledger.standard(), row.former))
      problems.push_back({row.row, fmt::format("{} is the item's own number", printable(row.former))});
  }
  return problems;
}

ConcordanceResult enter_concordance(Ledger& ledger, const Actor& actor, std::span<const ConcordanceRow> rows,
                                    const std::string& source) {
  if (const auto problems = check_concordance(ledger, rows); !problems.empty())
    throw data_error(problems.front().what, {.file = source, .row = problems.front().row},
                     "put it right in the concordance; nothing was entered");
  LedgerCore& core = core_of(ledger);
  ConcordanceResult result;
  std::set<std::pair<std::string, std::string>> seen;
  JsonWriter out;
  out.begin_object().key("rows").begin_array();
  for (const ConcordanceRow& row : rows) {
    const std::string item = item_of(ledger, row.number).value();
    const std::string written{trim(row.former)};
    const bool known = !seen.insert({item, written}).second ||
                       core.db.find_integer(
                           "SELECT 1 FROM items i WHERE i.number = ?1 AND (EXISTS(SELECT 1 FROM concordance c WHERE"
                           " c.item = i.id AND c.written = ?2) OR EXISTS(SELECT 1 FROM former_numbers f WHERE"
                           " f.item = i.id AND f.written = ?2))",
                           item, written);
    if (known) {
      ++result.known;
      continue;
    }
    ++result.entered;
    out.begin_array().text(item).text(written).text(canonical_or_empty(ledger.standard(), written)).end_array();
  }
  out.end_array().key("source").text(source).end_object();
  if (result.entered > 0) core.write(actor, "concordance", out.take());
  std::set<std::string> told;
  for (const ConcordanceRow& row : rows)
    if (const std::string former{trim(row.former)}; leads_to_several(ledger, former) && told.insert(former).second)
      result.ambiguous.push_back(former);
  return result;
}

std::vector<std::string> entered_former_numbers(const Ledger& ledger, const std::string& item) {
  std::vector<std::string> numbers;
  Statement rows = core_of(ledger).db.prepare(
      "SELECT c.written FROM concordance c JOIN items i ON i.id = c.item WHERE i.number = ? ORDER BY c.id");
  rows.with(item);
  while (rows.step()) numbers.push_back(rows.text(0));
  return numbers;
}

std::vector<ReusedNumber> reused_numbers(const Ledger& ledger) {
  std::vector<ReusedNumber> reused;
  Statement rows = core_of(ledger).db.prepare(
      "WITH f AS (SELECT item, written, canonical FROM former_numbers UNION SELECT item, written, canonical FROM"
      " concordance), used AS (SELECT f.written, f.item, i.id AS now FROM f JOIN items i ON i.number = f.written"
      " UNION SELECT f.written, f.item, i.id FROM f JOIN items i ON i.number = f.canonical"
      " UNION SELECT f.written, f.item, p.item FROM f JOIN pieces p ON p.number = f.written"
      " UNION SELECT f.written, f.item, p.item FROM f JOIN pieces p ON p.number = f.canonical)"
      " SELECT used.written, b.number, n.number FROM used JOIN items b ON b.id = used.item JOIN items n ON n.id ="
      " used.now WHERE used.item <> used.now ORDER BY n.id, b.id, used.written");
  rows.with();
  while (rows.step()) reused.push_back({rows.text(0), rows.text(1), rows.text(2)});
  return reused;
}

}  // namespace sherdmark
