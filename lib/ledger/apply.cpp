#include "ledger/apply.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "sherdmark/base/error.h"
#include "sherdmark/ledger/identity.h"

namespace sherdmark {
namespace {

void add_standard(const AppliedEvent& applied, const JsonView& standard) {
  Database& db = applied.db;
  db.run("INSERT INTO standards VALUES(1 + (SELECT coalesce(max(version), 0) FROM standards), ?, ?, ?, ?, ?)",
         standard.at("name").text(), standard.at("edition").text(), standard.at("sha256").text(),
         standard.at("source").text(), applied.event.time);
  auto schemes = standard.at("schemes").elements();
  while (const auto scheme = schemes.next())
    db.run(
        "INSERT INTO schemes(name, standard) VALUES(?, (SELECT max(version) FROM standards))"
        " ON CONFLICT(name) DO UPDATE SET standard = excluded.standard",
        scheme->text());
}

void add_person(const AppliedEvent& applied, const std::string& name) {
  applied.db.run("INSERT INTO persons(name, registered) VALUES(?, ?)", name, applied.event.time);
}

void add_station(const AppliedEvent& applied) {
  applied.db.run("INSERT INTO stations(code, machine, registered) VALUES(?, ?, ?)", applied.event.station,
                 applied.payload.at("machine").text(), applied.event.time);
}

void apply_founded(const AppliedEvent& applied) {
  applied.db.run("INSERT INTO collection VALUES(1, ?, ?)", applied.payload.at("key").text(), applied.event.time);
  add_person(applied, applied.event.person);
  add_station(applied);
  add_standard(applied, applied.payload.at("standard"));
}

void apply_person(const AppliedEvent& applied) { add_person(applied, applied.payload.at("person").text()); }
void apply_standard(const AppliedEvent& applied) { add_standard(applied, applied.payload.at("standard")); }
void apply_nothing(const AppliedEvent& applied) { (void)applied; }  // the event itself is the record

struct Kind {
  std::string_view name;
  void (*apply)(const AppliedEvent&);
};

constexpr std::array k_kinds = {
    Kind{"founded", apply_founded},
    Kind{"person", apply_person},
    Kind{"station", add_station},
    Kind{"standard", apply_standard},
    Kind{"intake", apply_intake},
    Kind{"exported", apply_nothing},
    Kind{"planned", apply_plan},
    Kind{"run", apply_run},
    Kind{"pages", apply_pages},
    Kind{"printed", apply_printed},
    Kind{"applied", apply_print_states},
    Kind{"voided", apply_print_states},
    Kind{"spoiled", apply_print_states},
    Kind{"revised", apply_revised},
    Kind{"checked", apply_checked},
    Kind{"reserved", apply_reserved},
    Kind{"field numbers", apply_field_states},
    Kind{"bound", apply_bound},
    Kind{"moved", apply_moved},
    Kind{"boxed", apply_boxed},
    Kind{"split", apply_split},
    Kind{"combined", apply_combined},
    Kind{"recounted", apply_recounted},
    Kind{"weighed", apply_weighed},
    Kind{"lent", apply_lent},
    Kind{"returned", apply_returned},
    Kind{"inventory opened", apply_inventory_opened},
    Kind{"inventory seen", apply_inventory_seen},
    Kind{"inventory taken back", apply_inventory_taken_back},
    Kind{"inventory closed", apply_inventory_closed},
    Kind{"found numbers reserved", apply_found_reserved},
    Kind{"found number resolved", apply_found_resolved},
    Kind{"audit drawn", apply_audit_drawn},
    Kind{"audit recorded", apply_audit_recorded},
    Kind{"audit concluded", apply_audit_concluded},
    Kind{"box list", apply_box_list},
    Kind{"filed", apply_filed},
    Kind{"sheet closed", apply_sheet_closed},
    Kind{"bagged", apply_bagged},
    Kind{"renumbered", apply_renumbered},
    Kind{"restricted", apply_restricted},
    Kind{"restriction lifted", apply_restriction_lifted},
    Kind{"concordance", apply_concordance},
    Kind{"assembled", apply_assembled},
    Kind{"keyboard", apply_keyboard},
    Kind{"scan opened", apply_scan_opened},
    Kind{"scanned", apply_scanned},
    Kind{"scan closed", apply_scan_closed},
    Kind{"printer", apply_printer},
    Kind{"soak test", apply_soak_test},
    Kind{"reviewed", apply_reviewed},
    Kind{"overridden", apply_overridden},
    Kind{"graded", apply_graded},
};

}  // namespace

void apply(Database& database, std::int64_t position, const Event& event) {
  const auto* kind = std::ranges::find(k_kinds, event.kind, &Kind::name);
  if (kind == k_kinds.end())
    throw data_error(fmt::format("the ledger holds an event of a kind this program does not know: \"{}\"", event.kind),
                     {.file = database.file().string()}, "use the program version that wrote it");
  const JsonObject payload{JsonView{event.payload}};
  kind->apply({database, position, event, payload});
}

Error damaged(std::string_view how) {
  return data_error(fmt::format("an event's payload is damaged: {}", how), {},
                    "run verify-ledger, and work on with the last backup");
}

std::int64_t item_row(Database& database, std::string_view number) {
  const auto id = database.find_integer("SELECT id FROM items WHERE number = ?", number);
  if (!id) throw damaged("it names an item that is not there");
  return *id;
}

std::int64_t identity_count(const JsonView& value) {
  const std::int64_t count = value.integer();
  if (count < 1 || count > k_identity_capacity) throw damaged("it counts ids that cannot be");
  return count;
}

void note_subject(const AppliedEvent& applied, std::string_view subject) {
  applied.db.run("INSERT OR IGNORE INTO event_subjects VALUES(?, ?)", subject, applied.position);
}

}  // namespace sherdmark
