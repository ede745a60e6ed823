#include "sherdmark/ledger/label_sheets.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <unordered_map>
#include <utility>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/role_labels.h"
#include "sherdmark/standard/printer.h"

namespace sherdmark {
namespace {

struct ItemFacts {
  std::string lot;
  std::optional<double> largest_mm;
};

std::vector<ArtifactLabelRequest> artifact_requests(const Ledger& ledger, const PrintRun& run) {
  const HouseStandard& standard = ledger.standard();
  std::unordered_map<std::string, ItemFacts> items;
  for (const ItemRecord& item : ledger.items())
    items.emplace(item.row.number.text(), ItemFacts{item.lot, item.row.largest_mm});
  std::vector<ArtifactLabelRequest> requests;
  for (const RunPrint& one : run.prints) {
    if (!requests.empty() && requests.back().number.text() == one.print.number) {
      ++requests.back().copies;
      continue;
    }
    const auto parsed = standard.parse_number(one.print.number);
    const auto item = items.find(one.print.subject);
    if (!parsed || item == items.end())
      throw internal_error(fmt::format("the ledger planned a label for {}, which is no item.", one.print.number));
    requests.push_back({parsed->number, item->second.lot, one.print.revision, 1, item->second.largest_mm});
  }
  return requests;
}

// Artifact labels are found again by number and copy, the others by their serial.
std::vector<int> pages_of(const PrintRun& run, const Placements& placements, bool by_serial) {
  std::map<std::pair<std::string, int>, int> pages;
  for (const PlacedLabel& label : placements.labels)
    pages[by_serial ? std::pair{label.serial.value_or(""), 0} : std::pair{label.number, label.copy}] = label.page;
  std::vector<int> result;
  std::map<std::string, int> copies;
  for (const RunPrint& one : run.prints) {
    const auto key =
        by_serial ? std::pair{one.print.serial, 0} : std::pair{one.print.number, ++copies[one.print.number]};
    const auto found = pages.find(key);
    if (found == pages.end())
      throw internal_error(
          fmt::format("the label of print {} ({}) is on no page.", one.print.serial, one.print.number));
    result.push_back(found->second);
  }
  return result;
}

std::vector<CarrierLabelRequest> in_order_of(const Placements& placements, std::vector<CarrierLabelRequest> requests) {
  std::unordered_map<std::string, std::size_t> by_serial;
  for (std::size_t i = 0; i < requests.size(); ++i) by_serial.emplace(requests[i].serial, i);
  std::vector<CarrierLabelRequest> ordered;
  for (const PlacedLabel& label : placements.labels)
    ordered.push_back(requests.at(by_serial.at(label.serial.value_or(""))));
  return ordered;
}

}  // namespace

Printing printing_on(const Ledger& ledger, const std::string& printer, const std::string& today) {
  Printing printing{ledger.standard(), std::nullopt, {}};
  if (!printer.empty()) {
    printing.printer = find_printer(ledger, printer);
    if (!printing.printer) {
      std::vector<std::string> known;
      for (const PrinterRecord& one : printers(ledger)) known.push_back("\"" + one.name + "\"");
      throw usage_error(fmt::format("there is no printer \"{}\".", printable(printer)),
                        known.empty() ? "Calibrate it first: sherdmark calibrate page --out DIR"
                                      : fmt::format("Name one of {}, or calibrate it first.", join(known, ", ")));
    }
    printing.standard = for_printer(std::move(printing.standard), printing.printer->description);
  }
  printing.soak = soak_standing(soak_tests(ledger), printer, ledger.standard().artifact_stock.material, today);
  return printing;
}

LabelSheets lay_out_run(const Ledger& ledger, const PrintRun& run, LabelRole role, const std::string& date,
                        const Printing& printing) {
  const HouseStandard& standard = printing.standard;
  LabelSheets sheets;
  if (role == LabelRole::artifact) {
    sheets.placements = lay_out_artifact_labels(artifact_requests(ledger, run), standard, run.id);
  } else {
    std::vector<CarrierLabelRequest> requests = carrier_requests(ledger, run, role);
    sheets.placements = lay_out_carrier_labels(requests, standard, run.id);
    sheets.carriers = in_order_of(sheets.placements, std::move(requests));
  }
  sheets.page_of_print = pages_of(run, sheets.placements, role != LabelRole::artifact);
  sheets.header = {group_identity(run.id),
                   sheet_title(role),
                   standard.repository,
                   date,
                   sheet_instructions(standard, role),
                   role == LabelRole::artifact ? standard.cautions : std::vector<std::string>{}};
  if (printing.printer) sheets.header.printer = fmt::format("only for printer \"{}\"", printing.printer->name);
  if (role == LabelRole::artifact && !printing.soak.text.empty())
    sheets.header.cautions.insert(sheets.header.cautions.begin(), printing.soak.text);
  return sheets;
}

CuttingCost cutting_cost(const Ledger& ledger, const PrintRun& run, const CuttingPlan& plan, const Printing& printing) {
  const bool asked = printing.standard.trimmer.keep_order;
  HouseStandard turned = printing.standard;
  turned.trimmer.keep_order = !asked;
  const CuttingPlan other =
      plan_cutting(lay_out_artifact_labels(artifact_requests(ledger, run), turned, run.id), turned.trimmer);
  return {.strokes = plan.strokes,
          .seconds = plan.seconds,
          .strokes_bound = std::min(plan.strokes_bound, other.strokes_bound),
          .keeps_order = plan.order == CutOrder::labels,
          .order = plan.order,
          .other_strokes = other.strokes,
          .other_seconds = other.seconds,
          .was_asked = asked};
}

LabelSheets lay_out_run(const Ledger& ledger, const PrintRun& run, LabelRole role, const std::string& date) {
  return lay_out_run(ledger, run, role, date, Printing{ledger.standard(), std::nullopt, {}});
}

}  // namespace sherdmark
