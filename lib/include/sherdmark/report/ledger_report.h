// What the ledger's commands did, as text for people and JSON for programs (docs/commands.md). Restricted values stay
// out of both. Every JSON document has "schema":1; keys are only ever added.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "sherdmark/catalog/read_catalog.h"
#include "sherdmark/ledger/label_sheets.h"
#include "sherdmark/ledger/ledger.h"
#include "sherdmark/ledger/plan_labels.h"
#include "sherdmark/ledger/renumber.h"
#include "sherdmark/ledger/standing_restrictions.h"
#include "sherdmark/sheet/worst_case.h"
#include "sherdmark/verify/judge.h"

namespace sherdmark {

struct InitReport {
  std::string ledger;
  std::string collection_key;
  std::string station;
  std::string person;
  std::string standard_name;
  std::string standard_version;
  std::vector<WorstCase> worst_cases;
};
[[nodiscard]] std::string init_text(const InitReport& report);
[[nodiscard]] std::string init_json(const InitReport& report);

// Holds references: made and written in one go.
struct IntakeReport {
  std::span<const CatalogReading> readings;
  std::span<const CatalogRow> rows;  // good rows of all files
  const IntakeDiff& diff;
  std::optional<IntakeResult> result;  // absent: nothing was taken in
  bool dry_run = false;
  std::vector<std::string> set_aside;     // files written
  std::vector<StandingRestriction> kept;  // flags the catalog lacks and a person's decision keeps
  std::vector<ReusedNumber> reused{};     // in the ledger, after it was taken in
};
[[nodiscard]] std::string intake_text(const IntakeReport& report);
[[nodiscard]] std::string intake_json(const IntakeReport& report);
// One problem on one line: file, row, column, the value, what is wrong, what to do.
[[nodiscard]] std::string problem_text(const CatalogProblem& problem);

struct PlanReport {
  const Plan& plan;
  std::optional<PlanResult> result;  // absent: a dry run
};
[[nodiscard]] std::string plan_text(const PlanReport& report);
[[nodiscard]] std::string plan_json(const PlanReport& report);

struct RunReport {
  RunRecord run;
  std::vector<std::string> files;  // written, in order
  std::vector<std::string> cautions;
  std::int64_t confirmed_now = 0;  // by this command
  std::optional<CuttingCost> cutting{};
  std::string printer{};  // corrected for; empty: the standard's own
};
[[nodiscard]] std::string labels_text(const RunReport& report);
[[nodiscard]] std::string confirmation_text(const RunReport& report);
// What cutting takes, and what the other order would.
[[nodiscard]] std::string cutting_text(const CuttingCost& cost);
// Only what the other order would cost, a sentence for the cutting list; empty when there is nothing to choose.
[[nodiscard]] std::string cutting_alternative(const CuttingCost& cost);
[[nodiscard]] std::string run_json(const RunReport& report);
// One document for all runs of the queue: {"schema":1,"runs":[…]}.
[[nodiscard]] std::string queue_json(const std::vector<RunReport>& reports);

// Everything a name leads to: bag, item, piece, lot, field or former number, run, print serial.
struct Shown {
  std::string asked;
  std::optional<BagRecord> bag;
  std::string bag_mark;
  std::vector<CheckRecord> checks;
  std::vector<std::pair<std::string, std::string>> standing{};  // key and sentence: what is true of it just now
  std::optional<ItemRecord> item;
  std::optional<ArtifactLabelRecord> label;
  std::optional<LotRecord> lot;
  std::vector<ItemRecord> lot_items;
  std::optional<NumberRecord> number;  // field and former numbers, pieces
  std::optional<RunRecord> run;
  std::optional<PrintRecord> print;
  [[nodiscard]] bool found() const { return bag || item || lot || number || run || print; }
};
[[nodiscard]] Shown look_up(const Ledger& ledger, const std::string& asked);
[[nodiscard]] std::string show_text(const Shown& shown, const HouseStandard& standard);
[[nodiscard]] std::string show_json(const Shown& shown, const HouseStandard& standard);

[[nodiscard]] std::string history_text(std::span<const HistoryLine> lines);
[[nodiscard]] std::string history_json(const std::string& subject, std::span<const HistoryLine> lines);

// Verdicts as the ledger keeps them (Ledger::record_checks).
[[nodiscard]] std::vector<CheckRecord> check_records(std::span<const SetVerdict> verdicts);

[[nodiscard]] std::string_view to_text(RunState state);
[[nodiscard]] std::string_view to_text(PrintState state);

}  // namespace sherdmark
