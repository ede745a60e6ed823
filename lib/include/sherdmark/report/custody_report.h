// What people do to collections, as text, JSON and paper.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "sherdmark/ledger/care.h"
#include "sherdmark/ledger/renumber.h"
#include "sherdmark/ledger/standing_restrictions.h"
#include "sherdmark/report/report_pages.h"

namespace sherdmark {

// One act: what was done, what came of it, which prints it made stale, and how many labels wait now.
struct CustodyAct {
  std::string done;                                         // one sentence
  std::vector<std::pair<std::string, std::string>> values;  // for JSON: "bag", "B7KM00007" …
  std::vector<std::string> more;                            // whole sentences
  std::vector<PrintRecord> stale;
  std::int64_t due = 0;  // copies in the queue
};
[[nodiscard]] std::string custody_text(const CustodyAct& act);
[[nodiscard]] std::string custody_json(const CustodyAct& act);

[[nodiscard]] std::string restriction_text(const LateRestriction& late);
[[nodiscard]] std::string restriction_json(const LateRestriction& late);
[[nodiscard]] std::string lifted_text(const LiftedRestriction& lifted);
[[nodiscard]] std::string lifted_json(const LiftedRestriction& lifted);

[[nodiscard]] std::string loans_text(const std::vector<LoanRecord>& loans, const std::string& today);
[[nodiscard]] std::string loans_json(const std::vector<LoanRecord>& loans, const std::string& today);
// A list to go with what leaves, one line a bag, with lines to sign. Restricted columns stay out.
[[nodiscard]] Report loan_pages(const Ledger& ledger, const LoanRecord& loan, ReportHead head);

[[nodiscard]] std::string concordance_text(const ConcordanceResult& result, const std::string& source);
[[nodiscard]] std::string concordance_json(const ConcordanceResult& result, const std::string& source);

[[nodiscard]] std::string assemblies_text(const std::vector<AssemblyRecord>& assemblies);
[[nodiscard]] std::string assemblies_json(const std::vector<AssemblyRecord>& assemblies);

}  // namespace sherdmark
