// The queue of labels that want printing, and which prints an act made stale. Callable from report and tools.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

// A label of which copies are due: never printed, revised since, or spoiled. Its text may wait for the next plan.
struct DueLabel {
  LabelRole role = LabelRole::bag;
  std::string subject;
  std::string number;
  int revision = 1;
  std::int64_t due = 0;         // copies
  std::int64_t to_replace = 0;  // earlier copies out there that were printed or applied and must not be used any more
  bool waits_for_plan = false;  // its text is made by the next plan
};
// In printing order: artifacts, bags, tags and the rest; within a role as Ledger::labels has them.
[[nodiscard]] std::vector<DueLabel> due_labels(const Ledger& ledger);

// Live prints (generated, printed or applied) of the labels of these subjects: bags, items, boxes or places. Asked
// before an act, so that afterwards made_stale tells which of them it put out of use.
[[nodiscard]] std::vector<PrintRecord> live_prints_of(const Ledger& ledger, const std::vector<std::string>& subjects);
// Those of `before` that are not in force any more, with their present state.
[[nodiscard]] std::vector<PrintRecord> made_stale(const Ledger& ledger, const std::vector<PrintRecord>& before);

}  // namespace sherdmark
