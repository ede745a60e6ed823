// What verdicts, reviews, overrides and print grades do to the records. Payloads: docs/formats/ledger.md.
#include "ledger/apply.h"

namespace sherdmark {
namespace {

std::int64_t add_check(const AppliedEvent& applied, const JsonView& check) {
  Database& db = applied.db;
  const std::string bag = check.at("bag").text();
  db.run("INSERT INTO checks VALUES(NULL, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", check.at("set").text(), bag,
         check.at("number").text(), check.at("verdict").text(), check.at("evidence").text(),
         check.at("expected").integer(), check.at("seen").integer(), check.at("place_checked").boolean(),
         check.at("images").raw(), check.at("readings").raw(), applied.event.time, applied.event.person,
         applied.position);
  const std::int64_t id = db.last_id();
  int rank = 0;
  auto reasons = check.at("reasons").elements();
  while (const auto reason = reasons.next()) {
    auto cell = reason->elements();
    const std::string code = cell.need().text();
    db.run("INSERT INTO check_reasons VALUES(?, ?, ?, ?)", id, ++rank, code, cell.need().text());
  }
  if (!bag.empty()) note_subject(applied, bag);
  return id;
}

}  // namespace

void apply_checked(const AppliedEvent& applied) {
  auto checks = applied.payload.at("checks").elements();
  while (const auto check = checks.next()) (void)add_check(applied, *check);
}

void apply_reviewed(const AppliedEvent& applied) {
  const std::int64_t check = applied.payload.at("check").integer();
  const std::int64_t outcome = add_check(applied, applied.payload.at("outcome"));
  applied.db.run("INSERT INTO reviews VALUES(NULL, ?, ?, ?, ?, ?)", check, outcome, applied.payload.at("answers").raw(),
                 applied.event.time, applied.event.person);
}

void apply_overridden(const AppliedEvent& applied) {
  Database& db = applied.db;
  const std::int64_t check = applied.payload.at("check").integer();
  db.run("INSERT INTO overrides VALUES(NULL, ?, ?, ?, ?, ?)", check, applied.payload.at("verdict").text(),
         applied.payload.at("reason").text(), applied.event.person, applied.payload.at("second_person").text());
  db.run("INSERT INTO override_times VALUES(?, ?)", db.last_id(), applied.event.time);
  Statement bag = db.prepare("SELECT bag FROM checks WHERE id = ?");
  bag.with(check);
  if (bag.step() && !bag.view(0).empty()) note_subject(applied, bag.text(0));
}

void apply_graded(const AppliedEvent& applied) {
  auto grades = applied.payload.at("grades").elements();
  while (const auto line = grades.next()) {
    auto cell = line->elements();
    const std::string serial = cell.need().text();
    const double grade = cell.need().decimal();
    applied.db.run("INSERT INTO grades VALUES(NULL, ?, ?, ?, ?)", serial, grade, cell.need().text(),
                   applied.event.time);
    note_subject(applied, serial);
  }
}

}  // namespace sherdmark
