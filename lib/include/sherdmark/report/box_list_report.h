// A box list as text, CSV, JSON and a page to lay into the box.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sherdmark/ledger/box_lists.h"
#include "sherdmark/report/report_pages.h"

namespace sherdmark {

// A box put on the scales, and what it may weigh.
struct BoxWeight {
  std::optional<double> measured_kg;
  std::optional<double> limit_kg;
  [[nodiscard]] bool too_heavy() const { return measured_kg && limit_kg && *measured_kg > *limit_kg; }
};

[[nodiscard]] std::string box_lists_text(const std::vector<BoxList>& lists, const BoxWeight& weight);
[[nodiscard]] std::string box_lists_json(const std::vector<BoxList>& lists, const BoxWeight& weight,
                                         const std::vector<StationHead>& heads);
// One line a bag; every line says box, revision and the ledger's heads.
[[nodiscard]] std::string box_lists_csv(const std::vector<BoxList>& lists, const std::vector<StationHead>& heads);
[[nodiscard]] Report box_list_pages(const BoxList& list, const BoxWeight& weight, ReportHead head);

}  // namespace sherdmark
