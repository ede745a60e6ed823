// Audits on paper: the list to walk with, and the conclusion.
#include <fmt/format.h>

#include <algorithm>

#include "report/audit_words.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/audit_report.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_most_exclusions = 60;

std::string number_of(const Ledger& ledger, const AuditRecord& audit, const AuditDraw& draw) {
  if (audit.design.direction == AuditDirection::object_to_record || audit.design.unit != AuditUnitKind::bag) return "";
  return bag_words(ledger, draw.subject, audit.drawn).number;
}

std::string count_of(const Ledger& ledger, const AuditRecord& audit, const AuditDraw& draw) {
  if (!audit.design.counts_shown || audit.design.unit != AuditUnitKind::bag) return "";
  const auto bag = ledger.find_bag(draw.subject);
  if (!bag) return "";
  std::int64_t pieces = 0;
  for (const BagContent& content : bag->contents) {
    if (!content.quantity) return "";
    pieces += *content.quantity;
  }
  return std::to_string(pieces);
}

void add_exclusions(const AuditDesign& design, Report& pages) {
  if (design.exclusions.empty()) return;
  pages.blocks.emplace_back(ReportHeading{fmt::format("Left out of the frame: {}", design.exclusions.size())});
  ReportTable table{{{"What", 1, ReportCell::left, 8, true}, {"Why", 3}}, {}};
  for (const AuditExclusion& one : design.exclusions)
    if (table.rows.size() < k_most_exclusions) table.rows.push_back({group_identity(one.subject), one.reason});
  const std::size_t more = design.exclusions.size() - table.rows.size();
  pages.blocks.emplace_back(std::move(table));
  if (more > 0) pages.blocks.emplace_back(ReportText{fmt::format("And {} more; the JSON has them all.", more)});
}

void add_conclusion(const AuditReport& report, Report& pages) {
  const AuditConclusion& conclusion = *report.conclusion;
  const AuditDesign& design = report.audit.design;
  pages.blocks.emplace_back(ReportNotice{"What this audit says", conclusion.statement});
  ReportTable table{
      {{"Class", 1.3, ReportCell::left, 8, true},
       {"Found", 0.6, ReportCell::right},
       {fmt::format("Upper bound, {:g} %: what was not inspected counts as an error", 100 * design.confidence), 2},
       {"The same, without what was not inspected", 2}},
      {}};
  ReportBounds plot{"Found or not inspected, and how many there may be",
                    {},
                    design.tolerable,
                    fmt::format("tolerable {:g} %", 100 * design.tolerable)};
  for (const AuditBound& bound : conclusion.bounds) {
    table.rows.push_back({bound.name, std::to_string(bound.errors), upper_words(bound.most, bound.share_upper),
                          upper_words(bound.most_inspected, bound.share_upper_inspected)});
    if (!bound.share_upper || conclusion.drawn == 0) continue;
    const auto wrong = static_cast<double>(bound.errors + conclusion.not_inspected);
    const double upper =
        bound.most ? static_cast<double>(*bound.most) / static_cast<double>(design.frame) : *bound.share_upper;
    plot.bounds.push_back({bound.name, wrong / static_cast<double>(conclusion.drawn), upper,
                           bound.most ? fmt::format("at most {} of {}", *bound.most, design.frame)
                                      : fmt::format("at most {:.1f} %", 100 * upper)});
  }
  pages.blocks.emplace_back(std::move(table));
  if (!plot.bounds.empty()) pages.blocks.emplace_back(std::move(plot));
}

void add_outcomes(const AuditRecord& audit, Report& pages) {
  ReportTable table{{{"#", 0.4, ReportCell::right},
                     {"What", 1.4, ReportCell::left, 8, true},
                     {"Where", 2.6},
                     {"Outcome", 1.1},
                     {"Remarks", 1.8},
                     {"By", 1}},
                    {}};
  for (const AuditDraw& draw : audit.draws)
    table.rows.push_back({std::to_string(draw.rank), subject_words(audit, draw.subject), draw.place,
                          draw.outcome.empty() ? "not recorded yet" : draw.outcome,
                          draw.reason.empty() ? draw.evidence : draw.reason, draw.person});
  pages.blocks.emplace_back(ReportHeading{"What was drawn, in the order of the draw"});
  pages.blocks.emplace_back(std::move(table));
}

}  // namespace

std::string upper_words(const std::optional<std::int64_t>& most, const std::optional<double>& share) {
  if (most && share) return fmt::format("at most {} (share at most {:.1f} %)", *most, 100 * *share);
  if (share) return fmt::format("share at most {:.1f} %", 100 * *share);
  return "no bound";
}

std::string subject_words(const AuditRecord& audit, const std::string& subject) {
  return audit.design.unit == AuditUnitKind::bag ? group_identity(subject) : subject;
}

std::vector<ReportFact> design_facts(const AuditRecord& audit) {
  const AuditDesign& design = audit.design;
  std::vector<ReportFact> facts{
      {"Direction", std::string{to_text(design.direction)}},
      {"Frame", fmt::format("{}: {}", units_words(design.unit, design.frame), design.scope.words())},
      {"Left out", design.exclusions.empty() ? "nothing" : fmt::format("{}, with reasons", design.exclusions.size())},
      {"Drawn", fmt::format("{}, {}", audit.draws.size(), to_text(design.layout))},
      {"Confidence", fmt::format("{:g} %", 100 * design.confidence)},
      {"Tolerable", fmt::format("{:g} %, rounded up to {}", 100 * design.tolerable,
                                units_words(design.unit, design.tolerable_units))}};
  if (design.method == AuditMethod::iso2859)
    facts.push_back({"Plan", fmt::format("ISO 2859-1, level {}, AQL {:g} %: letter {}, accepts {}", design.level,
                                         design.aql_percent, design.letter, design.accept)});
  else
    facts.push_back({"Size of the draw", design.method == AuditMethod::discovery
                                             ? "exact hypergeometric, to find one error at the tolerable number"
                                             : "given beforehand"});
  if (design.layout != AuditLayout::simple)
    facts.push_back({"Groups", fmt::format("{}: {} in the frame", to_text(design.groups), design.groups_in_frame)});
  facts.push_back({"Counts on the list", design.counts_shown ? "shown" : "not shown"});
  facts.push_back({"Seed", design.seed});
  facts.push_back({"Frame's SHA-256", design.frame_hash});
  return facts;
}

Report audit_pages(const AuditReport& report, ReportHead head) {
  const AuditRecord& audit = report.audit;
  Report pages{std::move(head), {}};
  if (report.conclusion)
    add_conclusion(report, pages);
  else
    pages.blocks.emplace_back(ReportNotice{"Not concluded yet", "Results are missing; nothing can be said so far."});
  pages.blocks.emplace_back(ReportHeading{"How it was drawn"});
  pages.blocks.emplace_back(ReportFacts{design_facts(audit)});
  pages.blocks.emplace_back(ReportText{audit.design.about});
  if (!audit.redraw_of.empty())
    pages.blocks.emplace_back(
        ReportText{fmt::format("Drawn in place of {}: {}", group_identity(audit.redraw_of), audit.design.reason)});
  ReportTable errors{{{"Class of error", 1, ReportCell::left, 8, true}, {"When a unit has it", 3}}, {}};
  for (const AuditErrorClass& one : audit.design.errors) errors.rows.push_back({one.name, one.definition});
  pages.blocks.emplace_back(std::move(errors));
  add_outcomes(audit, pages);
  add_exclusions(audit.design, pages);
  pages.blocks.emplace_back(ReportSignatures{{"Audited by", "Received by"}});
  return pages;
}

Report pick_list_pages(const Ledger& ledger, const AuditRecord& audit, ReportHead head) {
  Report pages{std::move(head), {}};
  std::string classes;
  for (const AuditErrorClass& one : audit.design.errors) classes += fmt::format("\n  {}: {}", one.name, one.definition);
  pages.blocks.emplace_back(ReportNotice{
      "How to use this list",
      "Walk it from top to bottom. Tick \"correct\", or write the class of error, or why it was not inspected. Put "
      "everything back where it was. Classes of error:" +
          classes});
  const bool by_position = audit.design.direction == AuditDirection::object_to_record;
  ReportTable table{
      {{"#", 0.4, ReportCell::right},
       {by_position ? "The object nearest to this mark, from the left" : "What", 1.7, ReportCell::left, 9, true},
       {"Number", 1.4},
       {"correct", 0.6, ReportCell::tick},
       {"class of error, or why not inspected", 2.6}},
      {}};
  if (audit.design.counts_shown) table.columns.insert(table.columns.begin() + 3, {"Pieces", 0.6, ReportCell::right});
  std::string place;
  for (const AuditDraw& draw : walking_order(audit.draws)) {
    if (table.rows.empty() || draw.place != place)
      table.rows.push_back({draw.place.empty() ? "(no place)" : draw.place});
    place = draw.place;
    std::vector<std::string> row{std::to_string(draw.rank), subject_words(audit, draw.subject),
                                 number_of(ledger, audit, draw), "", ""};
    if (audit.design.counts_shown) row.insert(row.begin() + 3, count_of(ledger, audit, draw));
    table.rows.push_back(std::move(row));
  }
  pages.blocks.emplace_back(std::move(table));
  pages.blocks.emplace_back(ReportSignatures{{"Audited by"}});
  return pages;
}

std::string pick_list_text(const Ledger& ledger, const AuditRecord& audit) {
  std::string text =
      fmt::format("Audit {}: {} to look at, in walking order.\n", group_identity(audit.id), audit.draws.size());
  std::string place = "\n";
  for (const AuditDraw& draw : walking_order(audit.draws)) {
    if (draw.place != place) text += (draw.place.empty() ? "(no place)" : printable(draw.place)) + "\n";
    place = draw.place;
    const std::string pieces = count_of(ledger, audit, draw);
    text += fmt::format("  #{:<4} {}  {}{}\n", draw.rank, printable(subject_words(audit, draw.subject)),
                        printable(number_of(ledger, audit, draw)),
                        pieces.empty() ? "" : "  " + pieces + (pieces == "1" ? " piece" : " pieces"));
  }
  return text;
}

}  // namespace sherdmark
