// Spot checks: how many to draw, which, in what order to walk, and what the results allow to be said. Pure functions
// over values; the ledger stores what they return (ledger/audits.h). Statistics: count/sampling.h. In words:
// docs/audit.md.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "sherdmark/count/inventory_readings.h"
#include "sherdmark/ledger/audits.h"

namespace sherdmark {

struct PlannedAudit {
  AuditDesign design;            // complete: size, frame, its hash, exclusions, what it is about
  std::vector<AuditDraw> draws;  // in the order of the draw
};

// Completes `wanted` (direction, unit, scope, errors, confidence, tolerable, method, layout, seed, exclusions by name)
// with the frame and draws from it. `fixed_size`: for AuditMethod::fixed. Every unit's key is the SHA-256 of seed, ":"
// and its name; the smallest keys are drawn, in their order: anybody can repeat it with sha256sum. usage_error when the
// frame is empty, or the design contradicts itself.
[[nodiscard]] PlannedAudit plan_audit(const AuditDesign& wanted, std::vector<AuditUnit> frame,
                                      std::int64_t fixed_size = 0);

// "1 box", "12 boxes".
[[nodiscard]] std::string units_words(AuditUnitKind unit, std::int64_t count);
// The errors that are told apart when nobody defines others.
[[nodiscard]] std::vector<AuditErrorClass> usual_errors(AuditDirection direction);
// "I", "II", "III", "S-1" … "S-4"; usage_error for anything else is the caller's.
[[nodiscard]] std::optional<int> inspection_level(std::string_view text);

// By place, numbers within names by their value ("Shelf 2" before "Shelf 10"), then by name.
[[nodiscard]] std::vector<AuditDraw> walking_order(std::vector<AuditDraw> draws);

// --- results --------------------------------------------------------------------------------------------------------
struct AuditLines {
  std::vector<AuditResult> results;
  std::vector<InventoryLineProblem> problems;
};
// One result a line: what was drawn (its rank with "#", its id, name or number), then "correct", "not inspected REASON"
// or "error CLASS". A scanned bag label alone is judged: right print, right place → correct; the last "place PATH" line
// says where. A line that cannot be understood is a problem, and nothing is made of it.
[[nodiscard]] AuditLines read_audit_lines(std::string_view text, const AuditRecord& audit, const Ledger& ledger);
// A picture's verdict as a result: agree → correct; disagree, stale, unknown → label wrong; misplaced → wrong place.
// What was not read surely, or is incomplete, decides nothing.
[[nodiscard]] std::optional<AuditResult> audit_result(const SetVerdict& verdict, const AuditRecord& audit);

// --- conclusion -----------------------------------------------------------------------------------------------------
struct AuditConclusion {
  std::int64_t drawn = 0, inspected = 0, not_inspected = 0;
  std::vector<AuditBound> bounds;       // any error first, then by class
  std::optional<double> design_effect;  // clusters: given or measured
  bool design_effect_measured = false;
  std::optional<bool> tolerable_met;  // headline bound within the tolerable number; absent without a bound
  std::optional<bool> accepted;       // by the plan of ISO 2859-1
  std::vector<ChainMember> auditors_in_chain;
  std::vector<std::string> auditors;
  std::string statement;  // plain sentences
};
// usage_error when results are missing.
[[nodiscard]] AuditConclusion conclude_audit(const AuditRecord& audit, std::span<const ChainMember> chain);

}  // namespace sherdmark
