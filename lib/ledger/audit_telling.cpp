// How inventories, found numbers, audits and box lists are told.
#include <fmt/format.h>

#include "ledger/event_telling.h"
#include "sherdmark/ledger/identity.h"

namespace sherdmark {
namespace {

std::string grouped(const JsonView& id) { return group_identity(id.text()); }

std::size_t length_of(const JsonView& list) {
  std::size_t length = 0;
  auto walk = list.elements();
  while (walk.next()) ++length;
  return length;
}

}  // namespace

std::string tell_inventory_opened(const Telling& told) {
  const std::string scope = told.payload.at("scope").text();
  return fmt::format("The inventory {} was opened: {}.", grouped(told.payload.at("inventory")),
                     told.payload.at("place").text().empty() ? scope : place_in_words(told, scope));
}

std::string tell_inventory_seen(const Telling& told) {
  const std::string inventory = grouped(told.payload.at("inventory"));
  std::size_t readings = 0;
  std::string places;
  auto lines = told.payload.at("readings").elements();
  while (const auto line = lines.next()) {
    ++readings;
    auto cell = line->elements();
    for (int skipped = 0; skipped < 3; ++skipped) (void)cell.need();
    if (told.subject.empty() || cell.need().text() != told.subject) continue;
    const std::string place = place_in_words(told, cell.need().text());
    if (!place.empty() && places.find(place) == std::string::npos) places += (places.empty() ? "" : ", ") + place;
  }
  auto found = told.payload.at("found").elements();
  while (const auto line = found.next()) {
    auto cell = line->elements();
    if (cell.need().text() != told.subject) continue;
    const std::string place = place_in_words(told, cell.need().text());
    return fmt::format("Given in the inventory {} to something without a label{}: {}.", inventory,
                       place.empty() ? "" : " at " + place, cell.need().text());
  }
  if (told.subject.empty() || told.subject == told.payload.at("inventory").text())
    return fmt::format("{} readings were taken into the inventory {}.", readings, inventory);
  return fmt::format("Seen in the inventory {}{}.", inventory, places.empty() ? "" : " at " + places);
}

std::string tell_inventory_taken_back(const Telling& told) {
  const std::string inventory = grouped(told.payload.at("inventory"));
  const std::string bag = told.payload.at("bag").text();
  if (!bag.empty() && told.subject == bag)
    return fmt::format("A scan of it was taken back in the inventory {}.", inventory);
  return fmt::format("A scan was taken back in the inventory {}: {}.", inventory,
                     bag.empty() ? told.payload.at("text").text() : grouped(told.payload.at("bag")));
}

std::string tell_inventory_closed(const Telling& told) {
  return fmt::format("The inventory {} was closed, with {} readings.", grouped(told.payload.at("inventory")),
                     told.payload.at("readings").integer());
}

std::string tell_found_reserved(const Telling& told) {
  return fmt::format("Numbers for found things were reserved: {}.", listed(told.payload.at("numbers")));
}

std::string tell_found_resolved(const Telling& told) {
  return fmt::format("The found number {} turned out to be: {}.", told.payload.at("number").text(),
                     told.payload.at("resolution").text());
}

std::string tell_audit_drawn(const Telling& told) {
  const std::string audit = grouped(told.payload.at("audit"));
  const std::string before = told.payload.at("redraw_of").text();
  const std::size_t drawn = length_of(told.payload.at("draws"));
  if (!told.subject.empty() && told.subject != told.payload.at("audit").text() && told.subject != before)
    return fmt::format("Drawn for the audit {}.", audit);
  return fmt::format("The audit {} drew {}{}.", audit, drawn,
                     before.empty() ? "" : ", in place of " + group_identity(before));
}

std::string tell_audit_recorded(const Telling& told) {
  const std::string audit = grouped(told.payload.at("audit"));
  auto results = told.payload.at("results").elements();
  std::size_t count = 0;
  while (const auto line = results.next()) {
    ++count;
    auto cell = line->elements();
    (void)cell.need();
    if (told.subject.empty() || cell.need().text() != told.subject) continue;
    const std::string outcome = cell.need().text();
    const std::string reason = cell.need().text();
    return fmt::format("In the audit {}: {}{}.", audit, outcome, reason.empty() ? "" : " (" + reason + ")");
  }
  return fmt::format("{} results were recorded in the audit {}.", count, audit);
}

std::string tell_audit_concluded(const Telling& told) {
  return fmt::format("The audit {} was concluded: {}", grouped(told.payload.at("audit")),
                     told.payload.at("statement").text());
}

std::string tell_box_list(const Telling& told) {
  return fmt::format("The list of box {} was printed, revision {}.", told.payload.at("box").text(),
                     told.payload.at("revision").integer());
}

}  // namespace sherdmark
