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
  // By the scales; where the box was not put on any, by the objects in it that were weighed.
  [[nodiscard]] bool too_heavy(const BoxList& list) const {
    constexpr double k_grams = 1000;
    return limit_kg && measured_kg.value_or(list.weight_g / k_grams) > *limit_kg;
  }
};

// `files` are the pages and the table that were written, if any.
[[nodiscard]] std::string box_lists_text(const std::vector<BoxList>& lists, const BoxWeight& weight,
                                         const std::vector<std::string>& files);
[[nodiscard]] std::string box_lists_json(const std::vector<BoxList>& lists, const BoxWeight& weight,
                                         const std::vector<StationHead>& heads, const std::vector<std::string>& files);
// One line a bag; every line says box, revision and the ledger's heads.
[[nodiscard]] std::string box_lists_csv(const std::vector<BoxList>& lists, const std::vector<StationHead>& heads);
// The head's scope is set here: the box and the revision.
[[nodiscard]] Report box_list_pages(const BoxList& list, const BoxWeight& weight, ReportHead head);

}  // namespace sherdmark
