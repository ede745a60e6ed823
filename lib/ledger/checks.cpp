// Verdicts, kept.
#include "ledger/checks.h"

#include "ledger/core.h"
#include "sherdmark/base/error.h"

namespace sherdmark {

void write_check(JsonWriter& out, const CheckRecord& check) {
  out.begin_object().key("bag").text(check.bag).key("evidence").text(check.evidence);
  out.key("expected").integer(check.expected).key("images").begin_array();
  for (const std::string& image : check.images) out.text(image);
  out.end_array().key("number").text(check.number).key("place_checked").boolean(check.place_checked);
  out.key("readings").raw(check.readings_json).key("reasons").begin_array();
  for (const CheckReason& reason : check.reasons) out.begin_array().text(reason.code).text(reason.text).end_array();
  out.end_array().key("seen").integer(check.seen).key("set").text(check.set);
  out.key("verdict").text(check.verdict).end_object();
}

namespace {

void read_reasons(Database& db, std::int64_t id, CheckRecord& check) {
  Statement rows = db.prepare("SELECT code, text FROM check_reasons WHERE check_id = ? ORDER BY rank");
  rows.with(id);
  while (rows.step()) check.reasons.push_back({rows.text(0), rows.text(1)});
}

}  // namespace

CheckRecord read_check(Database& db, std::int64_t id) {
  Statement row = db.prepare(
      "SELECT set_name, bag, number, verdict, evidence, expected, seen, place_checked, images, readings, time, person"
      " FROM checks WHERE id = ?");
  row.with(id);
  if (!row.step()) throw internal_error("A verdict that is not there was asked for.");
  CheckRecord check{row.text(0),    row.text(1),    row.text(2),         row.text(3), row.text(4),
                    row.integer(5), row.integer(6), row.integer(7) != 0, {},          {},
                    row.text(9),    row.text(10),   row.text(11)};
  auto images = JsonView{row.view(8)}.elements();
  while (const auto image = images.next()) check.images.push_back(image->text());
  read_reasons(db, id, check);
  return check;
}

void Ledger::record_checks(const Actor& actor, std::span<const CheckRecord> checks) {
  if (checks.empty()) return;
  JsonWriter out;
  out.begin_object().key("checks").begin_array();
  for (const CheckRecord& check : checks) write_check(out, check);
  out.end_array().end_object();
  core_->write(actor, "checked", out.take());
}

std::vector<CheckRecord> Ledger::checks_of_bag(const std::string& bag_id) const {
  std::vector<CheckRecord> checks;
  Statement rows = core_->db.prepare("SELECT id FROM checks WHERE bag = ? ORDER BY id");
  rows.with(bag_id);
  while (rows.step()) checks.push_back(read_check(core_->db, rows.integer(0)));
  return checks;
}

}  // namespace sherdmark
