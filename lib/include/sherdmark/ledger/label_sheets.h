// A run of prints → pages: what the sheet layer needs, and on which page each print came to lie.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sherdmark/ledger/ledger.h"
#include "sherdmark/ledger/printers.h"
#include "sherdmark/ledger/soak_tests.h"
#include "sherdmark/sheet/cutting.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {

struct LabelSheets {
  Placements placements;
  std::vector<CarrierLabelRequest> carriers;  // in the order of placements.labels; empty for artifact sheets
  SheetHeader header;
  std::vector<int> page_of_print;  // for Ledger::record_pages: one page for each print of the run
};

// On which printer a run is to come out, and what may be said of its labels. Made by printing_on.
struct Printing {
  HouseStandard standard;                // for that printer
  std::optional<PrinterRecord> printer;  // none: the standard's own, not calibrated by name
  SoakStanding soak;
};
// `printer` may be empty. usage_error naming those that are known when it is not; `today` is "2031-05-04".
[[nodiscard]] Printing printing_on(const Ledger& ledger, const std::string& printer, const std::string& today);

// A run looks at each record but a few times: from now on 8 MB of the file are kept in memory instead of 64.
void keep_little_in_memory(Ledger& ledger);

// The run laid out for a printer: its correction is in Printing::standard, its name and the soak test's standing are in
// the head of each sheet of artifact labels.
[[nodiscard]] LabelSheets lay_out_run(const Ledger& ledger, const std::string& run, LabelRole role,
                                      const std::string& date, const Printing& printing);

// What a run of artifact labels costs at the trimmer, and what it would in the other order.
struct CuttingCost {
  int strokes = 0;
  double seconds = 0;
  int strokes_bound = 0;     // no plan for these labels has fewer
  bool keeps_order = false;  // labels come off strictly in bench order
  CutOrder order = CutOrder::strips;
  int other_strokes = 0;     // with --keep-order, or without it: what was not chosen
  double other_seconds = 0;
  bool was_asked = false;    // to keep the order
};
// The run laid out in the order that is not chosen, for what it would cost.
struct OtherOrder {
  int strokes = 0;
  double seconds = 0;
  int strokes_bound = 0;
};
[[nodiscard]] OtherOrder cut_in_other_order(const Ledger& ledger, const std::string& run, const Printing& printing);
// `plan` is the run's own.
[[nodiscard]] CuttingCost cutting_cost(const CuttingPlan& plan, const OtherOrder& other, const Printing& printing);

// `date` is printed on every page. Throws what the sheet layer throws (a label that cannot fit, a missing font).
[[nodiscard]] LabelSheets lay_out_run(const Ledger& ledger, const std::string& run, LabelRole role,
                                      const std::string& date);

}  // namespace sherdmark
