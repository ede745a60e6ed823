// Verdicts, kept.
#include "ledger/checks.h"

#include "ledger/core.h"
#include "sherdmark/base/error.h"

namespace sherdmark {

void write_check(JsonWriter& out, const CheckRecord& check) {
  out.begin_object().key("bag").text(check.bag);
  if (check.counted) out.key("counted").integer(*check.counted);
  out.key("evidence").text(check.evidence);
  out.key("expected").integer(check.expected).key("images").begin_array();
  for (const std::string& image : check.images) out.text(image);
  out.end_array().key("number").text(check.number);
  if (!check.pictures.empty()) {
    out.key("pictures").begin_array();
    for (const CheckPicture& one : check.pictures)
      out.begin_array().text(one.image).text(one.file).text(one.sha256).end_array();
    out.end_array();
  }
  if (!check.place.empty()) out.key("place").text(check.place);
  out.key("place_checked").boolean(check.place_checked);
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

JsonView KeptChecks::find(std::int64_t id) {
  const auto position = db_.find_integer("SELECT came_with FROM checks WHERE id = ?", id);
  if (!position) throw internal_error("A verdict that is not there was asked for.");
  if (*position != position_) {
    Statement event = db_.prepare("SELECT kind, payload FROM events WHERE position = ?");
    event.with(*position);
    if (!event.step()) throw data_error("the event of a verdict is not there", {}, "run verify-ledger");
    const bool reviewed = event.view(0) == "reviewed";
    payload_ = event.text(1);
    checks_.clear();
    if (reviewed) {
      checks_.push_back(JsonView{payload_}.at("outcome"));
    } else {
      auto walk = JsonView{payload_}.at("checks").elements();
      while (const auto check = walk.next()) checks_.push_back(*check);
    }
    // Verdicts of one event follow one another.
    first_id_ = db_.find_integer("SELECT id FROM checks WHERE id < ? AND came_with <> ? ORDER BY id DESC LIMIT 1", id,
                                 *position)
                    .value_or(0) +
                1;
    position_ = *position;
  }
  const auto index = static_cast<std::size_t>(id - first_id_);
  if (index >= checks_.size()) throw data_error("a verdict is not in its event", {}, "run verify-ledger");
  return checks_[index];
}

std::vector<CheckPicture> KeptChecks::pictures_of(std::int64_t id) {
  std::vector<CheckPicture> pictures;
  const auto listed = find(id).find("pictures");
  if (!listed) return pictures;
  auto walk = listed->elements();
  while (const auto picture = walk.next()) {
    auto cell = picture->elements();
    CheckPicture one;
    one.image = cell.need().text();
    one.file = cell.need().text();
    one.sha256 = cell.need().text();
    pictures.push_back(std::move(one));
  }
  return pictures;
}

void KeptChecks::complete(std::int64_t id, CheckRecord& check) {
  const JsonView kept = find(id);
  if (const auto place = kept.find("place")) check.place = place->text();
  if (const auto counted = kept.find("counted")) check.counted = counted->integer();
  check.pictures = pictures_of(id);
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
