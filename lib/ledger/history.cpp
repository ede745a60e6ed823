// The past of a bag, item, lot, field number, run or print.
#include "ledger/core.h"
#include "ledger/event_words.h"
#include "ledger/events_about.h"
#include "ledger/identity_rows.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_positions = R"sql(
SELECT event FROM event_subjects WHERE subject = ?1
UNION SELECT came_with FROM items WHERE number = ?1
UNION SELECT came_with FROM bags WHERE id = ?2
UNION SELECT came_with FROM lots WHERE number = ?1
UNION SELECT e.event FROM labels l JOIN prints p ON p.label = l.id JOIN event_subjects e ON e.subject = p.serial
  WHERE l.subject = ?1
UNION SELECT e.event FROM labels l JOIN prints p ON p.label = l.id JOIN runs r ON r.id = p.run
  JOIN event_subjects e ON e.subject = r.code WHERE l.subject = ?1
UNION SELECT e.event FROM prints p JOIN runs r ON r.id = p.run JOIN event_subjects e ON e.subject = r.code
  WHERE p.id = ?3
UNION SELECT e.event FROM runs r JOIN prints p ON p.run = r.id JOIN event_subjects e ON e.subject = p.serial
  WHERE r.code = ?1
UNION SELECT i.came_with FROM pieces p JOIN items i ON i.id = p.item WHERE p.number = ?1
ORDER BY 1)sql";

HistoryLine read_line(const Statement& row, std::string_view subject, const HouseStandard& standard) {
  const Event event{row.text(0), row.integer(1), row.text(2), row.text(3), row.text(4), row.text(5), {}, {}};
  return {event.station, event.sequence, event.time,
          event.person,  event.kind,     event_in_words(event, subject, standard)};
}

}  // namespace

std::vector<std::int64_t> events_about(Database& database, const std::string& subject) {
  std::vector<std::int64_t> positions;
  Statement rows = database.prepare(k_positions);
  rows.with(subject, row_of_bag(subject), row_of_serial(subject));
  while (rows.step()) positions.push_back(rows.integer(0));
  return positions;
}

std::vector<HistoryLine> Ledger::history(const std::string& subject) const {
  const Snapshot snapshot{core_->db};
  std::vector<HistoryLine> lines;
  if (subject.empty()) {
    Statement all =
        core_->db.prepare("SELECT station, sequence, time, person, kind, payload FROM events ORDER BY position");
    all.with();
    while (all.step()) lines.push_back(read_line(all, subject, standard()));
    return lines;
  }
  Statement event =
      core_->db.prepare("SELECT station, sequence, time, person, kind, payload FROM events WHERE position = ?");
  for (const std::int64_t position : events_about(core_->db, subject))
    if (event.with(position).step()) lines.push_back(read_line(event, subject, standard()));
  return lines;
}

}  // namespace sherdmark
