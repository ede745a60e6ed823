#include "sherdmark/ledger/audits.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "ledger/audit_design.h"
#include "ledger/core.h"
#include "ledger/events_about.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

AuditRecord read_audit(const Statement& row) {
  return {row.text(0), read_design(row.text(1)), row.text(2), row.text(3), row.text(4), row.text(5), row.text(6), {}};
}

#define SHERDMARK_AUDIT_COLUMNS                                                                               \
  "SELECT a.code, a.design, a.drawn, a.person, coalesce(b.code, ''), a.concluded, a.conclusion FROM audits a" \
  " LEFT JOIN audits b ON b.id = a.redraw_of "
constexpr std::string_view k_all = SHERDMARK_AUDIT_COLUMNS "ORDER BY a.id";
constexpr std::string_view k_one = SHERDMARK_AUDIT_COLUMNS "WHERE a.code = ?";
#undef SHERDMARK_AUDIT_COLUMNS

std::vector<AuditDraw> read_draws(Database& db, const std::string& audit) {
  std::vector<AuditDraw> draws;
  Statement rows = db.prepare(
      "SELECT d.rank, d.subject, d.stratum, d.place, d.outcome, d.reason, d.evidence, d.time, d.person FROM "
      "audit_draws d"
      " JOIN audits a ON a.id = d.audit WHERE a.code = ? ORDER BY d.rank");
  rows.with(audit);
  while (rows.step())
    draws.push_back({rows.integer(0), rows.text(1), rows.text(2), rows.text(3), rows.text(4), rows.text(5),
                     rows.text(6), rows.text(7), rows.text(8)});
  return draws;
}

bool same_frame(const AuditDesign& one, const AuditDesign& other) {
  if (one.unit != other.unit || one.direction != other.direction) return false;
  // The same things in other words are the same frame, too.
  return one.scope.words() == other.scope.words() || (!one.frame_hash.empty() && one.frame_hash == other.frame_hash);
}

void require_open(const AuditRecord& audit) {
  if (!audit.concluded.empty())
    throw usage_error(
        fmt::format("the audit {} was concluded on {}", group_identity(audit.id), audit.concluded.substr(0, 10)),
        "draw another one");
}

void require_outcome(const AuditRecord& audit, const AuditResult& result) {
  const auto draw = std::ranges::find(audit.draws, result.rank, &AuditDraw::rank);
  if (draw == audit.draws.end() || draw->subject != result.subject)
    throw usage_error(
        fmt::format("{} was not drawn by the audit {}", printable(result.subject), group_identity(audit.id)),
        "only what was drawn is recorded; anything else found belongs in an inventory");
  const bool known =
      result.outcome == k_correct || result.outcome == k_not_inspected ||
      std::ranges::find(audit.design.errors, result.outcome, &AuditErrorClass::name) != audit.design.errors.end();
  if (!known)
    throw usage_error(fmt::format("\"{}\" is no outcome of this audit", printable(result.outcome)),
                      "say correct, not inspected, or one of its classes of error");
  if (result.outcome == k_not_inspected && trim(result.reason).empty())
    throw usage_error(fmt::format("{} was not inspected, and no reason is given", printable(result.subject)),
                      "say why it was not inspected");
}

}  // namespace

std::string store_draw(Ledger& ledger, const Actor& actor, const AuditDesign& design, std::span<const AuditDraw> draws,
                       const std::string& redraw_of) {
  LedgerCore& core = core_of(ledger);
  const std::string before =
      redraw_of.empty() ? "" : parse_identity(IdentityKind::audit, redraw_of).value_or(redraw_of);
  if (!before.empty() && !find_audit(ledger, before))
    throw unknown_thing("audit", redraw_of, "sherdmark audit list shows their names");
  for (const AuditRecord& other : audits(ledger))
    if (other.concluded.empty() && other.id != before && same_frame(other.design, design) &&
        std::ranges::none_of(audits(ledger), [&](const AuditRecord& later) { return later.redraw_of == other.id; }))
      throw usage_error(
          fmt::format("the audit {} of the same frame is not concluded", group_identity(other.id)),
          fmt::format("conclude it, or name it and why: --redraw-of {} --reason WORDS", group_identity(other.id)));
  const std::int64_t next =
      1 + core.db.find_integer("SELECT audits FROM stations WHERE code = ?", actor.station).value_or(0);
  std::string id = make_identity(IdentityKind::audit, actor.station, next);
  JsonWriter out;
  out.begin_object().key("audit").text(id).key("design");
  write_design(out, design);
  out.key("draws").begin_array();
  for (const AuditDraw& draw : draws)
    out.begin_array().text(draw.subject).text(draw.stratum).text(draw.place).end_array();
  out.end_array().key("redraw_of").text(before).end_object();
  core.write(actor, "audit drawn", out.take());
  return id;
}

void record_results(Ledger& ledger, const Actor& actor, const std::string& audit, std::span<const AuditResult> results,
                    const std::string& source) {
  const AuditRecord record = need_audit(ledger, audit);
  require_open(record);
  for (const AuditResult& result : results) require_outcome(record, result);
  if (results.empty()) return;
  JsonWriter out;
  out.begin_object().key("audit").text(record.id).key("results").begin_array();
  for (const AuditResult& result : results)
    out.begin_array()
        .integer(result.rank)
        .text(result.subject)
        .text(result.outcome)
        .text(result.reason)
        .text(result.evidence)
        .end_array();
  out.end_array().key("source").text(source).end_object();
  core_of(ledger).write(actor, "audit recorded", out.take());
}

void store_conclusion(Ledger& ledger, const Actor& actor, const std::string& audit, std::span<const AuditBound> bounds,
                      const std::string& statement) {
  const AuditRecord record = need_audit(ledger, audit);
  require_open(record);
  JsonWriter out;
  out.begin_object().key("audit").text(record.id).key("conclusion").begin_array();
  for (const AuditBound& bound : bounds) {
    out.begin_object().key("errors").integer(bound.errors).key("most").maybe(bound.most);
    out.key("most_inspected").maybe(bound.most_inspected).key("name").text(bound.name);
    out.key("share_upper").maybe(bound.share_upper);
    out.key("share_upper_inspected").maybe(bound.share_upper_inspected).end_object();
  }
  out.end_array().key("statement").text(statement).end_object();
  core_of(ledger).write(actor, "audit concluded", out.take());
}

std::vector<AuditRecord> audits(const Ledger& ledger) {
  std::vector<AuditRecord> all;
  Statement rows = core_of(ledger).db.prepare(k_all);
  rows.with();
  while (rows.step()) all.push_back(read_audit(rows));
  return all;
}

std::optional<AuditRecord> find_audit(const Ledger& ledger, const std::string& id) {
  Statement row = core_of(ledger).db.prepare(k_one);
  if (!row.with(id).step()) return std::nullopt;
  AuditRecord audit = read_audit(row);
  audit.draws = read_draws(core_of(ledger).db, id);
  return audit;
}

AuditRecord need_audit(const Ledger& ledger, const std::string& id) {
  if (!id.empty()) {
    auto audit = find_audit(ledger, parse_identity(IdentityKind::audit, id).value_or(id));
    if (!audit) throw unknown_thing("audit", id, "sherdmark audit list shows their names");
    return *std::move(audit);
  }
  std::vector<std::string> open;
  for (const AuditRecord& audit : audits(ledger))
    if (audit.concluded.empty()) open.push_back(audit.id);
  if (open.size() == 1) return find_audit(ledger, open.front()).value();
  throw usage_error(open.empty() ? "no audit is open" : fmt::format("{} audits are open", open.size()),
                    open.empty() ? "draw one: sherdmark audit draw" : "name one with --audit");
}

std::vector<ChainMember> chain_of(const Ledger& ledger, const AuditRecord& audit) {
  Database& database = core_of(ledger).db;
  std::set<std::int64_t> positions;
  for (const AuditDraw& draw : audit.draws)
    for (const std::int64_t position : events_about(database, draw.subject)) positions.insert(position);
  std::map<std::string, std::int64_t> events;
  Statement row = database.prepare("SELECT person FROM events WHERE position = ? AND substr(kind, 1, 6) <> 'audit '");
  for (const std::int64_t position : positions)
    if (row.with(position).step()) ++events[row.text(0)];
  std::vector<ChainMember> chain;
  for (const auto& [person, count] : events) chain.push_back({person, count});
  return chain;
}

}  // namespace sherdmark
