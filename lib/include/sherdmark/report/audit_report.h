// Audits as text, JSON and pages: what was drawn, the list to walk with, and what the results allow to be said.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sherdmark/count/audit.h"
#include "sherdmark/report/report_pages.h"

namespace sherdmark {

struct AuditReport {
  AuditRecord audit;
  std::optional<AuditConclusion> conclusion;  // once every result is there
  std::vector<StationHead> heads;             // of the ledger as it stood when this was made
};
[[nodiscard]] AuditReport audit_report(const Ledger& ledger, AuditRecord audit);

// The design in words, how far it is, and the conclusion with its bounds and the ledger's heads.
[[nodiscard]] std::string audit_text(const AuditReport& report);
[[nodiscard]] std::string audit_json(const AuditReport& report);
[[nodiscard]] Report audit_pages(const AuditReport& report, ReportHead head);

// In walking order, with room for the outcome. Gives nothing away: no counts unless the design says so.
[[nodiscard]] std::string pick_list_text(const Ledger& ledger, const AuditRecord& audit);
[[nodiscard]] Report pick_list_pages(const Ledger& ledger, const AuditRecord& audit, ReportHead head);

[[nodiscard]] std::string audits_text(const std::vector<AuditRecord>& audits);
[[nodiscard]] std::string audits_json(const std::vector<AuditRecord>& audits);
[[nodiscard]] std::string recorded_text(const AuditRecord& audit, std::size_t recorded,
                                        const std::vector<InventoryLineProblem>& problems);

}  // namespace sherdmark
