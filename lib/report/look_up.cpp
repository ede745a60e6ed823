#include <fmt/format.h>

#include <algorithm>

#include "report/standing_words.h"
#include "sherdmark/base/text.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/ledger/field_blocks.h"
#include "sherdmark/report/ledger_report.h"
#include "sherdmark/report/name_in_code.h"
#include "sherdmark/verify/typed_number.h"

namespace sherdmark {
namespace {

void show_bag(const Ledger& ledger, const std::string& id, Shown& shown) {
  shown.bag = ledger.find_bag(id);
  if (!shown.bag) return;
  shown.bag_mark = ledger.bag_mark(id);
  shown.checks = ledger.checks_of_bag(id);
  shown.standing = standing_words(bag_standing(ledger, id));
}

// How far a field number has come, and whose it is.
void add_field_standing(const Ledger& ledger, const std::string& number, Shown& shown) {
  const std::vector<FieldNumberRecord> all = ledger.field_numbers();
  const auto found = std::ranges::find(all, number, &FieldNumberRecord::number);
  if (found == all.end()) return;
  const std::string state{to_text(found->state)};
  const std::string words = found->state == FieldState::reserved ? "Reserved, not issued yet."
                            : found->state == FieldState::issued ? "Issued, not bound to a lot yet."
                            : found->state == FieldState::bound
                                ? "Bound to lot " + printable(found->lot) + "."
                                : to_upper_ascii(state.substr(0, 1)) + state.substr(1) + ", and never used again.";
  shown.standing.emplace_back("state", words);
  shown.standing.emplace_back(
      "crew", found->crew.empty() ? "It came with a catalog." : "From the block of " + printable(found->crew) + ".");
  std::vector<std::string> tags;
  for (const PrintRecord& print : ledger.live_prints(number, LabelRole::field_tag))
    tags.push_back(fmt::format("{} ({})", print.serial, to_text(print.state)));
  shown.standing.emplace_back("labels", tags.empty() ? "No field tag of it is in force."
                                                     : fmt::format("Field tag in force: {}.", join(tags, ", ")));
}

void show_number(const Ledger& ledger, const std::string& text, Shown& shown) {
  const TypedNumber typed = typed_number(ledger, ledger.standard(), text);
  const auto parsed = ledger.standard().parse_number(text);
  const bool believed = typed.sense == TypedSense::number || typed.sense == TypedSense::wrong_check;
  const std::string canonical = believed ? typed.number : parsed ? parsed->number.text() : text;
  shown.item = ledger.find_item(canonical);
  if (shown.item) shown.standing = standing_words(item_standing(ledger, canonical), ledger.standard());
  shown.label = ledger.artifact_label(canonical);
  shown.lot = ledger.find_lot(canonical);
  if (shown.lot) shown.lot_items = ledger.items_of_lot(canonical);
  const NumberRecord known = ledger.find_number(canonical);
  if (!known.formerly.empty()) {
    shown.number = known;
    const bool of_a_piece = !known.items.empty() && known.items.front() != canonical;
    if (of_a_piece) shown.number->meaning = NumberMeaning::piece;
  }
  if (shown.item || shown.lot || shown.number) return;
  for (const std::string& candidate : {canonical, text}) {  // a former number may follow no scheme
    NumberRecord record = ledger.find_number(candidate);
    if (record.meaning == NumberMeaning::unknown) continue;
    const bool of_an_item = record.meaning == NumberMeaning::item && !record.items.empty();
    if (of_an_item && record.items.front() != candidate) record.meaning = NumberMeaning::piece;
    if (record.meaning == NumberMeaning::field_number) add_field_standing(ledger, candidate, shown);
    shown.number = std::move(record);
    return;
  }
}

}  // namespace

Shown look_up(const Ledger& ledger, const std::string& asked) {
  const std::string name = name_in_code(ledger, asked);
  Shown shown;
  shown.asked = name;
  const std::string key = to_upper_ascii(trim(name));
  if (const auto bag = parse_identity(IdentityKind::bag, key)) show_bag(ledger, *bag, shown);
  if (const auto run = parse_identity(IdentityKind::run, key)) shown.run = ledger.find_run(*run);
  shown.print = ledger.find_print(key);
  if (!shown.found()) show_number(ledger, std::string{trim(name)}, shown);
  if (!shown.found())
    if (const auto spelled = spelled_field_number(ledger.standard().field_numbers, name)) {
      show_number(ledger, *spelled, shown);
      if (shown.found()) shown.asked = *spelled;
    }
  const LinkReading code = parse_code_text(trim(asked));
  if (code.link) shown.print = ledger.find_print(code.link->serial);
  return shown;
}

}  // namespace sherdmark
