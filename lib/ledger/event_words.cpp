#include "ledger/event_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>
#include <vector>

#include "ledger/event_telling.h"
#include "ledger/json_text.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {

std::string listed(const JsonView& list, std::size_t at_most) {
  std::string text;
  std::size_t n = 0;
  auto walk = list.elements();
  while (const auto entry = walk.next()) {
    if (++n > at_most) continue;
    text += (n == 1 ? "" : ", ") + (entry->is_text() ? entry->text() : std::string{entry->raw()});
  }
  if (n > at_most) text += fmt::format(" and {} more", n - at_most);
  return text;
}

bool tells(const Telling& told, std::string_view column) { return !is_restricted(told.standard, column); }

std::string place_in_words(const Telling& told, std::string place) {
  return !tells(told, "place") && !place.empty() ? "a place that is restricted" : std::move(place);
}

std::string with_reason(std::string text, const JsonObject& payload) {
  const std::string reason = payload.at("reason").text();
  return reason.empty() ? text + "." : fmt::format("{}: {}.", text, reason);
}

namespace {

std::size_t length_of(const JsonView& list) {
  std::size_t length = 0;
  auto walk = list.elements();
  while (walk.next()) ++length;
  return length;
}

std::string tell_founded(const Telling& told) {
  const JsonView standard = told.payload.at("standard");
  return fmt::format("The ledger was made, with the house standard \"{}\", edition {}.", standard.at("name").text(),
                     standard.at("edition").text());
}

std::string tell_person(const Telling& told) {
  return fmt::format("{} was entered in the register.", told.payload.at("person").text());
}

std::string tell_station(const Telling&) { return "This computer was registered as a station."; }

std::string tell_standard(const Telling& told) {
  const JsonView standard = told.payload.at("standard");
  return fmt::format("The house standard became \"{}\", edition {}.", standard.at("name").text(),
                     standard.at("edition").text());
}

std::string one_change(const JsonView& change) {
  auto cell = change.elements();
  const std::string field = cell.need().text();
  const auto before = cell.next();
  if (!before) return fmt::format("{} (restricted)", field);
  const std::string old_value = before->text();
  const std::string new_value = cell.need().text();
  if (old_value.empty()) return fmt::format("{} is now \"{}\"", field, new_value);
  if (new_value.empty()) return fmt::format("{} \"{}\" was taken out", field, old_value);
  return fmt::format("{} from \"{}\" to \"{}\"", field, old_value, new_value);
}

// What an intake changed on one item; empty if it did not change it.
std::string changes_of(const JsonObject& payload, std::string_view number) {
  auto lines = payload.at("changed").elements();
  while (const auto line = lines.next()) {
    auto parts = line->elements();
    if (parts.need().elements().need().text() != number) continue;
    std::string text;
    auto changes = parts.need().elements();
    while (const auto change = changes.next()) text += (text.empty() ? "" : "; ") + one_change(*change);
    return text;
  }
  return {};
}

bool holds_text(const JsonView& list, std::string_view text) {
  auto walk = list.elements();
  while (const auto entry = walk.next())
    if (entry->is_text() && entry->text() == text) return true;
  return false;
}

bool is_revised(const JsonObject& payload, std::string_view name) {
  auto lines = payload.at("revised").elements();
  while (const auto line = lines.next()) {
    auto cells = line->elements();
    (void)cells.need();
    if (cells.need().text() == name) return true;
  }
  return false;
}

std::string tell_intake(const Telling& told) {
  const std::string source = told.payload.at("source").text();
  const std::string from = source.empty() ? "a catalog" : source;
  if (told.subject.empty())
    return fmt::format("Catalog {}: {} items came in, {} changed.", from, length_of(told.payload.at("added")),
                       length_of(told.payload.at("changed")));
  if (const std::string changes = changes_of(told.payload, told.subject); !changes.empty())
    return fmt::format("Changed by {}: {}.", from, changes);
  if (holds_text(told.payload.at("vanished"), told.subject))
    return fmt::format("Not in {} any more; marked missing.", from);
  if (is_revised(told.payload, told.subject)) return fmt::format("Its labels became stale through {}.", from);
  return fmt::format("Came in with {}.", from);
}

std::string tell_exported(const Telling& told) {
  return fmt::format("Restricted columns were exported to {}: {}.", told.payload.at("file").text(),
                     listed(told.payload.at("columns")));
}

std::string tell_planned(const Telling& told) {
  return fmt::format("Labels were planned: {} new or changed, for {} items decided on.",
                     length_of(told.payload.at("labels")), length_of(told.payload.at("decisions")));
}

std::string tell_run(const Telling& told) {
  const std::string run = told.payload.at("run").text();
  const std::string role = told.payload.at("role").text();
  const std::string origin = told.payload.at("reprint_of").text();
  const std::string again = origin.empty() ? std::string{} : fmt::format(", a reprint of {}", origin);
  std::int64_t copies = 0;
  auto lines = told.payload.at("prints").elements();
  while (const auto line = lines.next()) {
    auto cells = line->elements();
    const std::string name = cells.need().text();
    (void)cells.need();
    (void)cells.need();
    if (told.subject.empty() || told.subject == run || told.subject == origin || told.subject == name)
      copies += cells.need().integer();
  }
  if (copies == 0) return fmt::format("Run {} made its {} labels{}.", run, role, again);
  return fmt::format("Run {} made {} {} label{}{}.", run, copies, role, copies == 1 ? "" : "s", again);
}

std::string tell_pages(const Telling& told) {
  const std::int64_t pages = told.payload.at("pages").integer();
  return fmt::format("{} of run {} written.", pages == 1 ? std::string{"The page"} : fmt::format("The {} pages", pages),
                     told.payload.at("run").text() + (pages == 1 ? " was" : " were"));
}

std::string tell_printed(const Telling& told) {
  const bool one = length_of(told.payload.at("pages")) == 1;
  return fmt::format("{} {} of run {} {} confirmed as printed.", one ? "Page" : "Pages",
                     listed(told.payload.at("pages"), 40), told.payload.at("run").text(), one ? "was" : "were");
}

std::string tell_applied(const Telling& told) {
  const std::size_t labels = length_of(told.payload.at("serials"));
  return fmt::format("{} applied: {}.",
                     labels == 1 ? std::string{"1 label was"} : fmt::format("{} labels were", labels),
                     listed(told.payload.at("serials")));
}

std::string tell_voided(const Telling& told) {
  return with_reason(fmt::format("Prints {} were forbidden to be used", listed(told.payload.at("serials"))),
                     told.payload);
}

std::string tell_spoiled(const Telling& told) {
  return with_reason(fmt::format("Prints {} were spoiled", listed(told.payload.at("serials"))), told.payload);
}

std::string tell_revised(const Telling& told) {
  return with_reason(
      fmt::format("The {} label of {} was revised", told.payload.at("role").text(), told.payload.at("name").text()),
      told.payload);
}

std::string tell_checked(const Telling& told) {
  std::size_t sets = 0;
  std::string text;
  auto checks = told.payload.at("checks").elements();
  while (const auto check = checks.next()) {
    ++sets;
    if (!told.subject.empty() && check->at("bag").text() == told.subject)
      text += fmt::format("{}Checked: {} ({}).", text.empty() ? "" : " ", check->at("verdict").text(),
                          check->at("evidence").text());
  }
  return text.empty() ? fmt::format("{} sets were checked.", sets) : text;
}

struct Words {
  std::string_view kind;
  std::string (*tell)(const Telling&);
};

constexpr std::array k_words = {
    Words{"founded", tell_founded},
    Words{"person", tell_person},
    Words{"station", tell_station},
    Words{"standard", tell_standard},
    Words{"intake", tell_intake},
    Words{"exported", tell_exported},
    Words{"planned", tell_planned},
    Words{"run", tell_run},
    Words{"pages", tell_pages},
    Words{"printed", tell_printed},
    Words{"applied", tell_applied},
    Words{"voided", tell_voided},
    Words{"spoiled", tell_spoiled},
    Words{"revised", tell_revised},
    Words{"checked", tell_checked},
    Words{"reserved", tell_reserved},
    Words{"field numbers", tell_field_numbers},
    Words{"bound", tell_bound},
    Words{"moved", tell_moved},
    Words{"boxed", tell_boxed},
    Words{"split", tell_split},
    Words{"combined", tell_combined},
    Words{"recounted", tell_recounted},
    Words{"weighed", tell_weighed},
    Words{"lent", tell_lent},
    Words{"returned", tell_returned},
    Words{"inventory opened", tell_inventory_opened},
    Words{"inventory seen", tell_inventory_seen},
    Words{"inventory taken back", tell_inventory_taken_back},
    Words{"inventory closed", tell_inventory_closed},
    Words{"found numbers reserved", tell_found_reserved},
    Words{"found number resolved", tell_found_resolved},
    Words{"audit drawn", tell_audit_drawn},
    Words{"audit recorded", tell_audit_recorded},
    Words{"audit concluded", tell_audit_concluded},
    Words{"box list", tell_box_list},
    Words{"filed", tell_filed},
    Words{"sheet closed", tell_sheet_closed},
    Words{"bagged", tell_bagged},
    Words{"renumbered", tell_renumbered},
    Words{"restricted", tell_restricted},
    Words{"restriction lifted", tell_restriction_lifted},
    Words{"concordance", tell_concordance},
    Words{"assembled", tell_assembled},
    Words{"keyboard", tell_keyboard},
    Words{"scan opened", tell_scan_opened},
    Words{"scanned", tell_scanned},
    Words{"scan closed", tell_scan_closed},
    Words{"printer", tell_printer},
    Words{"soak test", tell_soak_test},
    Words{"reviewed", tell_reviewed},
    Words{"overridden", tell_overridden},
    Words{"graded", tell_graded},
};

}  // namespace

std::string event_in_words(const Event& event, std::string_view subject, const HouseStandard& standard) {
  const auto* words = std::ranges::find(k_words, event.kind, &Words::kind);
  if (words == k_words.end()) return fmt::format("Something of a newer kind happened ({}).", event.kind);
  const JsonObject payload{JsonView{event.payload}};
  return words->tell({payload, subject, standard});
}

}  // namespace sherdmark
