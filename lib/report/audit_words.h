// Words that audits share in text and on paper.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "sherdmark/ledger/audits.h"
#include "sherdmark/report/report_pages.h"

namespace sherdmark {

[[nodiscard]] std::vector<ReportFact> design_facts(const AuditRecord& audit);
// "at most 31 (3.1 %)", "at most 3.1 %", "no bound".
[[nodiscard]] std::string upper_words(const std::optional<std::int64_t>& most, const std::optional<double>& share);
// As people know it: bag ids in groups.
[[nodiscard]] std::string subject_words(const AuditRecord& audit, const std::string& subject);

}  // namespace sherdmark
