#include "sherdmark/ledger/due_labels.h"

#include "ledger/bag_rows.h"
#include "ledger/core.h"
#include "sherdmark/base/error.h"

namespace sherdmark {

std::vector<DueLabel> due_labels(const Ledger& ledger) {
  std::vector<DueLabel> due;
  Statement rows = core_of(ledger).db.prepare(
      "SELECT l.role, l.subject, l.number, l.revision, l.copies - (SELECT count(*) FROM prints p JOIN runs r ON r.id ="
      " p.run WHERE p.label = l.id AND p.state IN ('generated', 'printed', 'applied') AND r.state <> 'open') AS due,"
      " (SELECT count(*) FROM prints p JOIN labels o ON o.id = p.label WHERE o.role = l.role AND o.name = l.name AND"
      " p.state = 'superseded'), l.text IS NULL"
      " FROM labels l LEFT JOIN items i ON i.number = l.subject WHERE l.current = 1 AND l.copies > 0"
      " ORDER BY CASE l.role WHEN 'artifact' THEN 0 WHEN 'bag' THEN 1 WHEN 'tag' THEN 2 ELSE 3 END, l.role, i.lot, "
      "i.id,"
      " l.subject, l.id");
  rows.with();
  while (rows.step()) {
    if (rows.integer(4) <= 0) continue;
    const auto role = parse_role(rows.view(0));
    if (role && is_retired_bag(core_of(ledger).db, *role, rows.text(1))) continue;
    if (!role) throw data_error("the ledger holds a label role this program does not know", {}, "use a newer program");
    due.push_back({*role, rows.text(1), rows.text(2), static_cast<int>(rows.integer(3)), rows.integer(4),
                   rows.integer(5), rows.integer(6) != 0});
  }
  return due;
}

std::vector<PrintRecord> live_prints_of(const Ledger& ledger, const std::vector<std::string>& subjects) {
  std::vector<std::string> serials;
  Statement rows = core_of(ledger).db.prepare(
      "SELECT p.serial FROM labels l JOIN prints p ON p.label = l.id WHERE l.subject = ? AND p.state IN ('generated',"
      " 'printed', 'applied') ORDER BY p.id");
  for (const std::string& subject : subjects) {
    rows.with(subject);
    while (rows.step()) serials.push_back(rows.text(0));
  }
  std::vector<PrintRecord> prints;
  for (const std::string& serial : serials) prints.push_back(ledger.find_print(serial).value());
  return prints;
}

std::vector<PrintRecord> made_stale(const Ledger& ledger, const std::vector<PrintRecord>& before) {
  std::vector<PrintRecord> stale;
  for (const PrintRecord& print : before) {
    const PrintRecord now = ledger.find_print(print.serial).value();
    if (now.state != print.state && now.state != PrintState::printed && now.state != PrintState::applied)
      stale.push_back(now);
  }
  return stale;
}

}  // namespace sherdmark
