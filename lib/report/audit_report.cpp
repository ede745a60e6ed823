// Audits on a terminal and as JSON.
#include "sherdmark/report/audit_report.h"

#include <fmt/format.h>

#include <algorithm>

#include "report/audit_words.h"
#include "report/json_value.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

std::int64_t recorded(const AuditRecord& audit) {
  return std::ranges::count_if(audit.draws, [](const AuditDraw& draw) { return !draw.outcome.empty(); });
}

std::string bound_text(const AuditBound& bound) {
  return fmt::format("  {:<18} {:>4}   {:<36} {}\n", printable(bound.name), bound.errors,
                     upper_words(bound.most, bound.share_upper),
                     upper_words(bound.most_inspected, bound.share_upper_inspected));
}

JsonValue design_json(const AuditDesign& design) {
  JsonValue json;
  json["direction"] = to_text(design.direction);
  json["unit"] = to_text(design.unit);
  json["scope"] = design.scope.words();
  json["frame"] = design.frame;
  json["frame_sha256"] = design.frame_hash;
  json["seed"] = design.seed;
  json["confidence"] = design.confidence;
  json["tolerable"] = design.tolerable;
  json["tolerable_units"] = design.tolerable_units;
  json["method"] = to_text(design.method);
  json["level"] = design.level;
  json["aql_percent"] = design.aql_percent;
  json["letter"] = design.letter;
  json["accept"] = design.accept;
  json["layout"] = to_text(design.layout);
  json["groups"] = to_text(design.groups);
  json["design_effect"] = design.design_effect;
  json["counts_shown"] = design.counts_shown;
  json["about"] = design.about;
  json["reason"] = design.reason;
  json["errors"] = JsonValue::array();
  for (const AuditErrorClass& one : design.errors)
    json["errors"].push_back(JsonValue::object({{"name", one.name}, {"definition", one.definition}}));
  json["exclusions"] = JsonValue::array();
  for (const AuditExclusion& one : design.exclusions)
    json["exclusions"].push_back(JsonValue::object({{"subject", one.subject}, {"reason", one.reason}}));
  return json;
}

JsonValue conclusion_json(const AuditConclusion& conclusion) {
  JsonValue json;
  json["drawn"] = conclusion.drawn;
  json["inspected"] = conclusion.inspected;
  json["not_inspected"] = conclusion.not_inspected;
  json["bounds"] = JsonValue::array();
  for (const AuditBound& bound : conclusion.bounds)
    json["bounds"].push_back(JsonValue::object({{"name", bound.name},
                                                {"errors", bound.errors},
                                                {"share_upper", bound.share_upper},
                                                {"most", bound.most},
                                                {"share_upper_inspected", bound.share_upper_inspected},
                                                {"most_inspected", bound.most_inspected}}));
  json["design_effect"] = conclusion.design_effect;
  json["design_effect_measured"] = conclusion.design_effect_measured;
  json["tolerable_met"] = conclusion.tolerable_met;
  json["accepted"] = conclusion.accepted;
  json["auditors"] = conclusion.auditors;
  json["auditors_in_chain"] = JsonValue::array();
  for (const ChainMember& member : conclusion.auditors_in_chain)
    json["auditors_in_chain"].push_back(JsonValue::object({{"person", member.person}, {"events", member.events}}));
  json["statement"] = conclusion.statement;
  return json;
}

JsonValue record_json(const AuditRecord& audit) {
  JsonValue json;
  json["id"] = audit.id;
  json["drawn"] = audit.drawn;
  json["drawn_by"] = audit.drawn_by;
  json["redraw_of"] = audit.redraw_of.empty() ? JsonValue{} : JsonValue{audit.redraw_of};
  json["concluded"] = audit.concluded.empty() ? JsonValue{} : JsonValue{audit.concluded};
  json["design"] = design_json(audit.design);
  return json;
}

}  // namespace

AuditReport audit_report(const Ledger& ledger, AuditRecord audit) {
  AuditReport report{std::move(audit), {}, ledger.heads()};
  const bool complete = recorded(report.audit) == static_cast<std::int64_t>(report.audit.draws.size());
  if (complete) report.conclusion = conclude_audit(report.audit, chain_of(ledger, report.audit));
  return report;
}

std::string audit_text(const AuditReport& report) {
  const AuditRecord& audit = report.audit;
  std::string text = fmt::format(
      "Audit {}, drawn {} by {}{}\n", group_identity(audit.id), audit.drawn, printable(audit.drawn_by),
      audit.redraw_of.empty()
          ? "."
          : fmt::format(", in place of {}: {}.", group_identity(audit.redraw_of), printable(audit.design.reason)));
  for (const ReportFact& fact : design_facts(audit))
    text += fmt::format("  {}: {}\n", fact.name, printable(fact.value));
  text += "  " + printable(audit.design.about) + "\n";
  if (!report.conclusion) return text + fmt::format("Recorded: {} of {}.\n", recorded(audit), audit.draws.size());
  text += "\n  class             found   upper bound                          without what was not inspected\n";
  for (const AuditBound& bound : report.conclusion->bounds) text += bound_text(bound);
  text += "\n" + printable(report.conclusion->statement) + "\n";
  for (const AuditDraw& draw : audit.draws)
    if (draw.outcome != k_correct)
      text += fmt::format("  #{} {}: {}{}\n", draw.rank, printable(subject_words(audit, draw.subject)),
                          printable(draw.outcome), draw.reason.empty() ? "" : " (" + printable(draw.reason) + ")");
  return text + "Ledger: " + heads_text(report.heads) + "\n";
}

std::string audit_json(const AuditReport& report) {
  JsonValue document;
  document["schema"] = 1;
  document["audit"] = record_json(report.audit);
  document["draws"] = JsonValue::array();
  for (const AuditDraw& draw : report.audit.draws)
    document["draws"].push_back(JsonValue::object({{"rank", draw.rank},
                                                   {"subject", draw.subject},
                                                   {"group", draw.stratum},
                                                   {"place", draw.place},
                                                   {"outcome", draw.outcome},
                                                   {"reason", draw.reason},
                                                   {"evidence", draw.evidence},
                                                   {"person", draw.person}}));
  document["conclusion"] = report.conclusion ? conclusion_json(*report.conclusion) : JsonValue{};
  document["heads"] = JsonValue::array();
  for (const StationHead& head : report.heads)
    document["heads"].push_back(
        JsonValue::object({{"station", head.station}, {"sequence", head.sequence}, {"hash", head.hash}}));
  return document.document();
}

std::string audits_text(const std::vector<AuditRecord>& audits) {
  if (audits.empty()) return "No audit was ever drawn.\n";
  std::string text;
  for (const AuditRecord& audit : audits)
    text += fmt::format("{}  {}  {}  {} of {}\n", group_identity(audit.id), audit.drawn.substr(0, 10),
                        audit.concluded.empty() ? "open                " : "concluded " + audit.concluded.substr(0, 10),
                        units_words(audit.design.unit, 2).substr(2), printable(audit.design.scope.words()));
  return text;
}

std::string audits_json(const std::vector<AuditRecord>& audits) {
  JsonValue document;
  document["schema"] = 1;
  document["audits"] = JsonValue::array();
  for (const AuditRecord& audit : audits) document["audits"].push_back(record_json(audit));
  return document.document();
}

std::string recorded_text(const AuditRecord& audit, std::size_t now,
                          const std::vector<InventoryLineProblem>& problems) {
  std::string text;
  for (const InventoryLineProblem& problem : problems)
    text += fmt::format("line {}: \"{}\": {}; {}.\n", problem.line, problem.text, problem.what, problem.remedy);
  return text + fmt::format("{} result{} recorded in {}; {} of {} have one.\n", now, now == 1 ? "" : "s",
                            group_identity(audit.id), recorded(audit), audit.draws.size());
}

}  // namespace sherdmark
