// The bench as text, JSON and paper: the working list, what became of the copies, drying and closing.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/ledger/bench.h"
#include "sherdmark/report/report_pages.h"

namespace sherdmark {

[[nodiscard]] std::string bench_list_text(const BenchList& list, const HouseStandard& standard);
// `file`: where its page was written to, if it was.
[[nodiscard]] std::string bench_list_json(const BenchList& list, const HouseStandard& standard,
                                          const std::string& file = {});
// Numbers in 10 pt, with squares to tick; advice once for each kind of surface, not on every line.
[[nodiscard]] Report bench_list_pages(const BenchList& list, const HouseStandard& standard, ReportHead head);
[[nodiscard]] std::string bench_scope(const BenchList& list);  // "run R-7KM-00003", "bag B-7KM-00042"

[[nodiscard]] std::string settled_text(const BenchSubject& subject, CopyFate fate,
                                       const std::vector<std::string>& serials);
[[nodiscard]] std::string settled_json(const BenchSubject& subject, CopyFate fate,
                                       const std::vector<std::string>& serials);
[[nodiscard]] std::string sheet_closing_text(const SheetClosing& closing, const std::string& run);
[[nodiscard]] std::string sheet_closing_json(const SheetClosing& closing, const std::string& run);
// `now` decides what may be bagged.
[[nodiscard]] std::string drying_text(const std::vector<Drying>& bags, const std::string& now);
[[nodiscard]] std::string drying_json(const std::vector<Drying>& bags, const std::string& now);
[[nodiscard]] std::string bag_closing_text(const BagClosing& closing);
[[nodiscard]] std::string bag_closing_json(const BagClosing& closing);

}  // namespace sherdmark
