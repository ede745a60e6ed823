// Verdicts, kept.
#include "ledger/core.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

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

void read_reasons(Database& db, std::int64_t id, CheckRecord& check) {
  Statement rows = db.prepare("SELECT code, text FROM check_reasons WHERE check_id = ? ORDER BY rank");
  rows.with(id);
  while (rows.step()) check.reasons.push_back({rows.text(0), rows.text(1)});
}

}  // namespace

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
  Statement rows = core_->db.prepare(
      "SELECT id, set_name, bag, number, verdict, evidence, expected, seen, place_checked, images, readings, time, "
      "person"
      " FROM checks WHERE bag = ? ORDER BY id");
  rows.with(bag_id);
  while (rows.step()) {
    CheckRecord check{rows.text(1),    rows.text(2),    rows.text(3),         rows.text(4), rows.text(5),
                      rows.integer(6), rows.integer(7), rows.integer(8) != 0, {},           {},
                      rows.text(10),   rows.text(11),   rows.text(12)};
    auto images = JsonView{rows.view(9)}.elements();
    while (const auto image = images.next()) check.images.push_back(image->text());
    read_reasons(core_->db, rows.integer(0), check);
    checks.push_back(std::move(check));
  }
  return checks;
}

}  // namespace sherdmark
