// Audits in the ledger: the design and what was drawn are one event before anybody sees the list; results come in; the
// conclusion closes it. How a draw is made and what it shows: count/audit.h; in words: docs/audit.md.
// Callable from count, report and tools.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "sherdmark/ledger/inventory.h"

namespace sherdmark {

// Stored words, frozen.
enum class AuditDirection { record_to_object, object_to_record };
enum class AuditUnitKind { bag, box, item, place };
enum class AuditMethod { discovery, iso2859, fixed };  // how the size of the draw was found
enum class AuditLayout { simple, stratified, cluster };
enum class AuditGroups { none, place, accession, box };  // what strata or clusters are

struct AuditErrorClass {
  std::string name;        // "not found"
  std::string definition;  // when a unit has this error
};

struct AuditExclusion {
  std::string subject;
  std::string reason;
};

struct AuditDesign {
  AuditDirection direction = AuditDirection::record_to_object;
  AuditUnitKind unit = AuditUnitKind::bag;
  InventoryScope scope;
  std::vector<AuditErrorClass> errors;
  double confidence = 0.95;
  double tolerable = 0.05;           // share of the frame
  std::int64_t tolerable_units = 0;  // rounded up
  AuditMethod method = AuditMethod::discovery;
  std::string level;  // ISO 2859-1: "I", "II", "S-3" …
  double aql_percent = 0;
  std::string letter;
  std::int64_t accept = 0;  // most errors that the plan accepts
  AuditLayout layout = AuditLayout::simple;
  AuditGroups groups = AuditGroups::none;
  double design_effect = 0;  // clusters; 0: measured from the results
  std::string seed;
  std::int64_t frame = 0;            // units that could be drawn (objects as recorded, when drawn by position)
  std::string frame_hash;            // SHA-256 of their names in order, one a line
  std::int64_t groups_in_frame = 0;  // strata or clusters
  std::vector<std::pair<std::string, std::int64_t>> strata;  // stratified: units of the frame in each
  std::vector<AuditExclusion> exclusions;
  bool counts_shown = false;
  std::string reason;  // of a redraw
  std::string about;   // what the draw is about and what it is not, in words
};

struct AuditDraw {
  std::int64_t rank = 0;  // order of the draw, from 1
  std::string subject;    // bag id, box name, item number, place path, or "PLACE @ 37 %" by position
  std::string stratum;    // or cluster
  std::string place;      // where to look
  std::string outcome;    // "" not recorded yet, "correct", "not inspected", or the name of an error class
  std::string reason;
  std::string evidence;
  std::string time, person;
};

struct AuditRecord {
  std::string id;  // "A7KM00001"
  AuditDesign design;
  std::string drawn, drawn_by;
  std::string redraw_of;
  std::string concluded;   // empty while it goes on
  std::string conclusion;  // JSON
  std::vector<AuditDraw> draws;
};

struct AuditResult {
  std::int64_t rank = 0;
  std::string subject;
  std::string outcome;
  std::string reason;
  std::string evidence;
};

// A unit of the frame; with a reason it is kept out of the draw.
struct AuditUnit {
  std::string subject;
  std::string place;
  std::string group;    // stratum or cluster
  std::string exclude;  // "on loan", "care flag", "in no bag"; empty: it may be drawn
};
// One line of a conclusion: any error, or one class.
struct AuditBound {
  std::string name;
  std::int64_t errors = 0;
  // Not inspected counted as errors, of all drawn: the headline. Absent when the layout allows no bound.
  std::optional<double> share_upper;  // Clopper and Pearson, one-sided
  std::optional<std::int64_t> most;   // units of the frame, hypergeometric
  // Not inspected left out.
  std::optional<double> share_upper_inspected;
  std::optional<std::int64_t> most_inspected;
};

// By subject, ascending. What carries a care flag is never drawn.
[[nodiscard]] std::vector<AuditUnit> audit_frame(const Ledger& ledger, AuditUnitKind unit, const InventoryScope& scope,
                                                 AuditGroups groups);

// usage_error when an audit of the same frame is not concluded and not named as the one before.
std::string store_draw(Ledger& ledger, const Actor& actor, const AuditDesign& design, std::span<const AuditDraw> draws,
                       const std::string& redraw_of);
// usage_error when the audit is concluded or an outcome is no word of its design; nothing is stored then.
void record_results(Ledger& ledger, const Actor& actor, const std::string& audit, std::span<const AuditResult> results,
                    const std::string& source);
void store_conclusion(Ledger& ledger, const Actor& actor, const std::string& audit, std::span<const AuditBound> bounds,
                      const std::string& statement);

[[nodiscard]] std::vector<AuditRecord> audits(const Ledger& ledger);  // without their draws
[[nodiscard]] std::optional<AuditRecord> find_audit(const Ledger& ledger, const std::string& id);
// The one named, or the only one not concluded; usage_error in words otherwise.
[[nodiscard]] AuditRecord need_audit(const Ledger& ledger, const std::string& id);

// Who had a hand in what was drawn, other than by this and other audits: took it in, made or confirmed its labels,
// moved or counted it; whatever `history` tells of it. Person and number of events.
struct ChainMember {
  std::string person;
  std::int64_t events = 0;
};
[[nodiscard]] std::vector<ChainMember> chain_of(const Ledger& ledger, const AuditRecord& audit);

[[nodiscard]] std::string_view to_text(AuditDirection direction);
[[nodiscard]] std::string_view to_text(AuditUnitKind unit);
[[nodiscard]] std::string_view to_text(AuditMethod method);
[[nodiscard]] std::string_view to_text(AuditLayout layout);
[[nodiscard]] std::string_view to_text(AuditGroups groups);

inline constexpr std::string_view k_correct = "correct";
inline constexpr std::string_view k_not_inspected = "not inspected";

}  // namespace sherdmark
