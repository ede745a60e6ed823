// From events to records: the one road. Applying an event changes records only by what the event says and what the
// records were, never by clock, chance or house standard, so that the same events always add up to the same records.
#pragma once

#include <string_view>

#include "ledger/json_text.h"
#include "ledger/sqlite.h"
#include "sherdmark/base/error.h"
#include "sherdmark/ledger/event.h"

namespace sherdmark {

struct AppliedEvent {
  Database& db;
  std::int64_t position;
  const Event& event;
  const JsonObject& payload;
};

// Applies one event inside the caller's transaction. Throws data_error for a kind this program does not know and for a
// payload that is damaged.
void apply(Database& database, std::int64_t position, const Event& event);

// The parts, by subject; called by `apply` only.
void apply_intake(const AppliedEvent& applied);
void apply_plan(const AppliedEvent& applied);
void apply_run(const AppliedEvent& applied);
void apply_pages(const AppliedEvent& applied);
void apply_printed(const AppliedEvent& applied);
void apply_print_states(const AppliedEvent& applied);  // applied, voided, spoiled
void apply_revised(const AppliedEvent& applied);
void apply_checked(const AppliedEvent& applied);
void apply_reserved(const AppliedEvent& applied);
void apply_field_states(const AppliedEvent& applied);
void apply_bound(const AppliedEvent& applied);
void apply_moved(const AppliedEvent& applied);
void apply_boxed(const AppliedEvent& applied);
void apply_split(const AppliedEvent& applied);
void apply_combined(const AppliedEvent& applied);
void apply_recounted(const AppliedEvent& applied);
void apply_weighed(const AppliedEvent& applied);
void apply_lent(const AppliedEvent& applied);
void apply_returned(const AppliedEvent& applied);
void apply_inventory_opened(const AppliedEvent& applied);
void apply_inventory_seen(const AppliedEvent& applied);
void apply_inventory_taken_back(const AppliedEvent& applied);
void apply_inventory_closed(const AppliedEvent& applied);
void apply_found_reserved(const AppliedEvent& applied);
void apply_found_resolved(const AppliedEvent& applied);
void apply_audit_drawn(const AppliedEvent& applied);
void apply_audit_recorded(const AppliedEvent& applied);
void apply_audit_concluded(const AppliedEvent& applied);
void apply_box_list(const AppliedEvent& applied);
void apply_filed(const AppliedEvent& applied);
void apply_sheet_closed(const AppliedEvent& applied);
void apply_bagged(const AppliedEvent& applied);
void apply_renumbered(const AppliedEvent& applied);
void apply_restricted(const AppliedEvent& applied);
void apply_restriction_lifted(const AppliedEvent& applied);
void apply_concordance(const AppliedEvent& applied);
void apply_assembled(const AppliedEvent& applied);
void apply_keyboard(const AppliedEvent& applied);
void apply_scan_opened(const AppliedEvent& applied);
void apply_scanned(const AppliedEvent& applied);
void apply_scan_closed(const AppliedEvent& applied);
void apply_printer(const AppliedEvent& applied);
void apply_soak_test(const AppliedEvent& applied);
void apply_reviewed(const AppliedEvent& applied);
void apply_overridden(const AppliedEvent& applied);
void apply_graded(const AppliedEvent& applied);

// Shared by the parts.
[[nodiscard]] Error damaged(std::string_view how);  // what the payload says cannot be: a data_error to throw
[[nodiscard]] std::int64_t item_row(Database& database,
                                    std::string_view number);  // throws `damaged` without such an item
// A count or counter of ids as a payload has it; throws `damaged` when no station can have come to so many.
[[nodiscard]] std::int64_t identity_count(const JsonView& value);
void note_subject(const AppliedEvent& applied, std::string_view subject);
void revise_listed(const AppliedEvent& applied);  // the labels that the payload names as "revised"
// Raises the revision of the current label, supersedes its live prints; the new revision waits for its text.
void revise_label(Database& database, std::string_view role, std::string_view name);

}  // namespace sherdmark
