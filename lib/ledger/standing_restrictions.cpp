#include "sherdmark/ledger/standing_restrictions.h"

#include <fmt/format.h>

#include <algorithm>
#include <unordered_map>

#include "ledger/core.h"
#include "ledger/item_rows.h"
#include "sherdmark/base/text.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

using Flags = std::vector<std::string>;

bool holds(const Flags& flags, const std::string& flag) {
  return std::ranges::any_of(flags, [&](const std::string& one) { return same_flag(one, flag); });
}

Flags flags_in(const JsonView& list) {
  Flags flags;
  auto walk = list.elements();
  while (const auto flag = walk.next()) flags.push_back(flag->text());
  return flags;
}

// The newest decision on each flag. A "restricted" event names all flags the item had; the one it added stands last.
std::vector<StandingRestriction> decisions_on(Database& db, const std::string& item, const Flags& now) {
  std::vector<StandingRestriction> standing;
  Statement events = db.prepare(
      "SELECT e.kind, e.person, e.time, e.payload FROM event_subjects s JOIN events e ON e.position = s.event"
      " WHERE s.subject = ? AND e.kind IN ('restricted', 'restriction lifted') ORDER BY e.position");
  events.with(item);
  while (events.step()) {
    const JsonObject payload{JsonView{events.view(3)}};
    const bool lifted = events.view(0) == "restriction lifted";
    const std::string flag = lifted ? payload.at("flag").text() : flags_in(payload.at("flags")).back();
    std::erase_if(standing, [&](const StandingRestriction& one) { return same_flag(one.flag, flag); });
    if (!lifted && holds(now, flag))
      standing.push_back({item, flag, events.text(1), events.text(2), payload.at("reason").text()});
  }
  return standing;
}

Flags flags_of(Database& db, const std::string& item) {
  const auto flags = db.find_text("SELECT flags FROM items WHERE number = ?", item);
  if (!flags) throw unknown_thing("item", item, "check the number; a piece follows its item");
  return flags_in(JsonView{*flags});
}

bool same_flags(Flags one, Flags other) {
  std::ranges::sort(one);
  std::ranges::sort(other);
  return one == other;
}

}  // namespace

std::vector<StandingRestriction> standing_restrictions(const Ledger& ledger, const std::string& item) {
  Database& db = core_of(ledger).db;
  return decisions_on(db, item, flags_of(db, item));
}

std::vector<StandingRestriction> keep_restrictions(const Ledger& ledger, std::vector<CatalogRow>& rows) {
  Database& db = core_of(ledger).db;
  std::vector<StandingRestriction> kept;
  std::unordered_map<std::string, Flags> flagged;
  Statement items = db.prepare("SELECT number, flags FROM items WHERE flags <> '[]'");
  items.with();
  while (items.step()) flagged.emplace(items.text(0), flags_in(JsonView{items.view(1)}));
  if (flagged.empty()) return kept;
  for (CatalogRow& row : rows) {
    const auto known = flagged.find(row.number.text());
    if (known == flagged.end() || known->second == row.flags) continue;
    for (StandingRestriction& one : decisions_on(db, known->first, known->second)) {
      if (holds(row.flags, one.flag)) continue;
      row.flags.push_back(one.flag);
      kept.push_back(std::move(one));
    }
    if (same_flags(row.flags, known->second)) row.flags = known->second;  // the order alone is no change
  }
  return kept;
}

LiftedRestriction lift_restriction(Ledger& ledger, const Actor& actor, const std::string& item, const std::string& flag,
                                   const std::string& reason) {
  LedgerCore& core = core_of(ledger);
  if (trim(reason).empty()) throw usage_error("lifting a restriction needs a reason", "say who decided it, and why");
  const auto parsed = ledger.standard().parse_number(item);
  const std::string number = parsed ? parsed->number.text() : item;
  LiftedRestriction lifted;
  lifted.flags = flags_of(core.db, number);
  const auto standing = decisions_on(core.db, number, lifted.flags);
  const auto was =
      std::ranges::find_if(standing, [&](const StandingRestriction& one) { return same_flag(one.flag, flag); });
  if (was == standing.end())
    throw usage_error(
        fmt::format("no person's decision put \"{}\" on {}", printable(flag), number),
        holds(lifted.flags, flag) ? "it came with the catalog: take it out there" : "look the item up with show");
  lifted.was = *was;
  std::erase_if(lifted.flags, [&](const std::string& one) { return same_flag(one, flag); });
  lifted.still_restricted = has_care_flag(ledger.standard(), lifted.flags);
  JsonWriter out;
  out.begin_object().key("flag").text(lifted.was.flag).key("flags").begin_array();
  for (const std::string& one : lifted.flags) out.text(one);
  out.end_array().key("item").text(number).key("reason").text(trim(reason));
  out.key("still_restricted").boolean(lifted.still_restricted).end_object();
  core.write(actor, "restriction lifted", out.take());
  return lifted;
}

}  // namespace sherdmark
