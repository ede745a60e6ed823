// A run of prints → pages: what the sheet layer needs, and on which page each print came to lie.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/ledger/ledger.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {

struct LabelSheets {
  Placements placements;
  std::vector<CarrierLabelRequest> carriers;  // in the order of placements.labels; empty for artifact sheets
  SheetHeader header;
  std::vector<int> page_of_print;  // for Ledger::record_pages: one page for each print of the run
};

// `date` is printed on every page. Throws what the sheet layer throws (a label that cannot fit, a missing font).
[[nodiscard]] LabelSheets lay_out_run(const Ledger& ledger, const PrintRun& run, LabelRole role,
                                      const std::string& date);

}  // namespace sherdmark
