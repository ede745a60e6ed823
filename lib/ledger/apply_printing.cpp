// What calibrations and soak tests do to the records. Payloads: docs/formats/ledger.md.
#include "ledger/apply.h"

namespace sherdmark {

void apply_printer(const AppliedEvent& applied) {
  const JsonObject& payload = applied.payload;
  const std::string name = payload.at("printer").text();
  applied.db.run("DELETE FROM printers WHERE name = ?", name);
  applied.db.run("INSERT INTO printers VALUES(NULL, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", name, payload.at("dpi").integer(),
                 payload.at("scale_x").decimal(), payload.at("scale_y").decimal(), payload.at("skew_deg").decimal(),
                 payload.at("least_module_dots").integer(), payload.at("paper").text(), payload.at("method").text(),
                 applied.event.time, applied.event.person);
  note_subject(applied, name);
}

void apply_soak_test(const AppliedEvent& applied) {
  const JsonObject& payload = applied.payload;
  const std::string printer = payload.at("printer").text();
  applied.db.run("INSERT INTO soak_tests VALUES(NULL, ?, ?, ?, ?, ?, ?, ?, ?)", printer, payload.at("toner").text(),
                 payload.at("paper").text(), payload.at("adhesive").text(), payload.at("date").text(),
                 payload.at("expires").text(), applied.event.person,
                 static_cast<std::int64_t>(payload.at("passed").boolean() ? 1 : 0));
  note_subject(applied, printer);
}

}  // namespace sherdmark
