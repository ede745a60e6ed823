// An inventory as text, CSV, JSON and pages for a file. All four come from one reconciliation; nothing here touches
// files. Lists of findings are kept short in text and on paper (the CSV has every line) and say how many were left out.
#pragma once

#include <cstddef>
#include <map>
#include <string>
#include <vector>

#include "sherdmark/count/inventory.h"
#include "sherdmark/count/inventory_readings.h"
#include "sherdmark/ledger/grade_years.h"
#include "sherdmark/report/report_pages.h"

namespace sherdmark {

struct InventoryReport {
  InventoryRecord record;
  InventoryTotals totals;
  InventoryPace pace;
  std::vector<FoundNumber> found_numbers;  // given in this inventory
  std::vector<GradeYear> grade_years;      // of its labels; empty when none was ever graded
  // Lines that stand in the lists, with the bag's number as people know it.
  struct Line {
    InventoryLine line;
    std::string number;  // empty for restricted bags
    std::string since;   // what happened to the bag after the inventory was opened
  };
  std::vector<Line> lines;  // every line with a finding, and every exempt bag; at most `k_most_lines` a finding
  std::map<std::string, std::size_t> left_out;  // finding or exemption → lines that are only in the CSV
};

inline constexpr std::size_t k_most_report_lines = 5000;  // of one finding
// Reconciles. While an inventory is open, "not found" means "not seen yet"; `keep_lines` false: totals only.
[[nodiscard]] InventoryReport inventory_report(const Ledger& ledger, const InventoryRecord& record,
                                               bool keep_lines = true);

// How far it is: done, left, pace, by place.
[[nodiscard]] std::string inventory_status_text(const InventoryReport& report);
[[nodiscard]] std::string inventory_text(const InventoryReport& report);
[[nodiscard]] std::string inventory_json(const InventoryReport& report);
// Every bag and every reading without one, one line each, streamed.
void write_inventory_csv(const Ledger& ledger, const InventoryRecord& record, const ByteSink& sink);
// The pages; `head` as report_head gives it.
[[nodiscard]] Report inventory_pages(const InventoryReport& report, ReportHead head);

[[nodiscard]] std::string inventories_text(const std::vector<InventoryRecord>& records);
[[nodiscard]] std::string inventories_json(const std::vector<InventoryRecord>& records);
[[nodiscard]] std::string taken_in_text(const InventoryRecord& record, const TakenIn& taken,
                                        const std::vector<InventoryLineProblem>& problems);
[[nodiscard]] std::string taken_in_json(const InventoryRecord& record, const TakenIn& taken,
                                        const std::vector<InventoryLineProblem>& problems);
[[nodiscard]] std::string found_numbers_text(const std::vector<FoundNumber>& numbers);
[[nodiscard]] std::string found_numbers_json(const std::vector<FoundNumber>& numbers);
// Labels for found numbers, to be cut apart: number, room to write what, where and when.
[[nodiscard]] Report found_number_pages(const std::vector<std::string>& numbers, ReportHead head);

}  // namespace sherdmark
