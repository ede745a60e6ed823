// Looking up labels, runs and prints.
#include <numeric>

#include "ledger/bag_rows.h"
#include "ledger/core.h"
#include "ledger/identity_rows.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

#define SHERDMARK_PRINT_COLUMNS                                                                          \
  "SELECT p.serial, l.role, l.subject, l.number, l.revision, p.ordinal, p.state, r.code, p.copy, p.page" \
  " FROM prints p JOIN labels l ON l.id = p.label JOIN runs r ON r.id = p.run "
constexpr std::string_view k_by_serial = SHERDMARK_PRINT_COLUMNS "WHERE p.id = ?";
constexpr std::string_view k_by_run = SHERDMARK_PRINT_COLUMNS "WHERE r.code = ? ORDER BY p.id";
constexpr std::string_view k_live =
    SHERDMARK_PRINT_COLUMNS "WHERE l.subject = ? AND l.role = ? AND p.state IN ('printed', 'applied') ORDER BY p.id";
#undef SHERDMARK_PRINT_COLUMNS

LabelRole stored_role(std::string_view text) {
  const auto role = parse_role(text);
  if (!role) throw data_error("the ledger holds a label role this program does not know", {}, "use a newer program");
  return *role;
}

RunPrint read_print(const Statement& row) {
  RunPrint print;
  print.print.serial = row.text(0);
  print.print.role = stored_role(row.view(1));
  print.print.subject = row.text(2);
  print.print.number = row.text(3);
  print.print.revision = static_cast<int>(row.integer(4));
  print.print.ordinal = static_cast<int>(row.integer(5));
  print.print.state = parse_print_state(row.view(6));
  print.print.run = row.text(7);
  print.copy = static_cast<int>(row.integer(8));
  print.page = static_cast<int>(row.integer(9));
  return print;
}

// A superseded print was confirmed when its page was.
#define SHERDMARK_RUN_COLUMNS                                                                            \
  "SELECT r.code, r.role, r.state, r.pages, (SELECT count(*) FROM prints p WHERE p.run = r.id),"         \
  " (SELECT count(*) FROM prints p WHERE p.run = r.id AND (p.state IN ('printed', 'applied') OR p.state" \
  " = 'superseded' AND p.page IN (SELECT page.value FROM event_subjects s JOIN events e ON e.position =" \
  " s.event AND e.kind = 'printed', json_each(e.payload, '$.pages') page WHERE s.subject = r.code))),"   \
  " r.started, r.person, o.code FROM runs r LEFT JOIN runs o ON o.id = r.reprint_of "
constexpr std::string_view k_runs = SHERDMARK_RUN_COLUMNS "ORDER BY r.id";
constexpr std::string_view k_run = SHERDMARK_RUN_COLUMNS "WHERE r.code = ?";
#undef SHERDMARK_RUN_COLUMNS

RunRecord read_run(const Statement& row) {
  RunRecord run;
  run.id = row.text(0);
  run.role = stored_role(row.view(1));
  run.state = parse_run_state(row.view(2));
  run.pages = static_cast<int>(row.integer(3));
  run.prints = row.integer(4);
  run.confirmed = row.integer(5);
  run.started = row.text(6);
  run.person = row.text(7);
  run.reprint_of = row.text(8);
  return run;
}

}  // namespace

void Ledger::for_each_label(LabelRole role, const std::function<void(const LabelRecord&)>& visit) const {
  Statement rows = core_->db.prepare(
      "SELECT l.subject, l.number, coalesce(l.text, ''), l.revision, l.copies, (SELECT count(*) FROM prints p JOIN "
      "runs r"
      " ON r.id = p.run WHERE p.label = l.id AND p.state IN ('generated', 'printed', 'applied') AND r.state <> 'open')"
      " FROM labels l LEFT JOIN items i ON i.number = l.subject"
      " WHERE l.role = ? AND l.current = 1 AND l.copies > 0 ORDER BY i.lot, i.id, l.subject, l.id");
  rows.with(to_text(role));
  while (rows.step())
    visit({role, rows.text(0), rows.text(1), rows.text(2), static_cast<int>(rows.integer(3)), rows.integer(4),
           rows.integer(5)});
}

std::vector<LabelRecord> Ledger::labels(LabelRole role) const {
  std::vector<LabelRecord> labels;
  for_each_label(role, [&labels](const LabelRecord& label) { labels.push_back(label); });
  return labels;
}

std::vector<RunRecord> Ledger::runs() const {
  std::vector<RunRecord> runs;
  Statement rows = core_->db.prepare(k_runs);
  rows.with();
  while (rows.step()) runs.push_back(read_run(rows));
  return runs;
}

std::optional<RunRecord> Ledger::find_run(const std::string& run) const {
  Statement row = core_->db.prepare(k_run);
  if (!row.with(run).step()) return std::nullopt;
  return read_run(row);
}

void Ledger::for_each_print(const std::string& run, const std::function<void(const RunPrint&)>& visit) const {
  Statement rows = core_->db.prepare(k_by_run);
  rows.with(run);
  while (rows.step()) visit(read_print(rows));
}

std::vector<RunPrint> Ledger::prints_of_run(const std::string& run) const {
  std::vector<RunPrint> prints;
  for_each_print(run, [&prints](const RunPrint& print) { prints.push_back(print); });
  return prints;
}

std::optional<PrintRecord> Ledger::find_print(const std::string& serial) const {
  Statement row = core_->db.prepare(k_by_serial);
  if (!row.with(row_of_serial(serial)).step()) return std::nullopt;
  return read_print(row).print;
}

std::vector<PrintRecord> Ledger::live_prints(const std::string& bag_id, LabelRole role) const {
  std::vector<PrintRecord> prints;
  Statement rows = core_->db.prepare(k_live);
  rows.with(bag_id, to_text(role));
  while (rows.step()) prints.push_back(read_print(rows).print);
  return prints;
}

std::vector<int> Ledger::current_sheets(const std::string& bag_id, LabelRole role) const {
  const auto sheets = core_->db.find_integer(
      "SELECT max(copies) FROM labels WHERE subject = ? AND role = ? AND current = 1", bag_id, to_text(role));
  std::vector<int> ordinals(static_cast<std::size_t>(sheets.value_or(0)));
  std::iota(ordinals.begin(), ordinals.end(), 1);
  return ordinals;
}

std::optional<ArtifactLabelRecord> Ledger::artifact_label(const std::string& canonical) const {
  Database& db = core_->db;
  const auto revision =
      db.find_integer("SELECT revision FROM labels WHERE role = 'artifact' AND name = ? AND current = 1", canonical);
  if (!revision) return std::nullopt;
  ArtifactLabelRecord record;
  record.revision = static_cast<int>(*revision);
  Statement rows = db.prepare(
      "SELECT p.state, count(*) FROM prints p JOIN labels l ON l.id = p.label WHERE l.role = 'artifact' AND l.name = ?"
      " GROUP BY p.state");
  rows.with(canonical);
  while (rows.step()) {
    const std::int64_t copies = rows.integer(1);
    switch (parse_print_state(rows.view(0))) {
      case PrintState::generated:
        record.generated = copies;
        break;
      case PrintState::printed:
        record.printed = copies;
        break;
      case PrintState::applied:
        record.applied = copies;
        break;
      case PrintState::superseded:
        record.superseded = copies;
        break;
      case PrintState::void_:
        record.voided = copies;
        break;
      case PrintState::spoiled:
        break;
    }
  }
  return record;
}

}  // namespace sherdmark
