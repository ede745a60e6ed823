#include "sherdmark/ledger/label_sheets.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <numeric>
#include <unordered_map>
#include <unordered_set>
#include <utility>

#include "ledger/core.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/role_labels.h"
#include "sherdmark/standard/printer.h"

namespace sherdmark {
namespace {

// The artifact labels of a run as its prints have them: copies of a number follow each other, and so do, as a rule, the
// numbers of a lot.
class RunLabels final : public ArtifactLabelSource {
 public:
  RunLabels(const Ledger& ledger, std::string run) : ledger_(ledger), run_(std::move(run)) { rewind(); }

  void rewind() override {
    rows_.emplace(core_of(ledger_).db.prepare(
        "SELECT l.subject, l.number, l.revision, t.number, i.largest_mm FROM prints p JOIN labels l ON l.id = p.label"
        " JOIN runs r ON r.id = p.run LEFT JOIN items i ON i.number = l.subject LEFT JOIN lots t ON t.id = i.lot"
        " WHERE r.code = ? ORDER BY p.id"));
    rows_->with(run_);
    has_row_ = rows_->step();
  }

  bool next(ArtifactLabelRequest& request) override {
    if (!has_row_) return false;
    const std::string number = rows_->text(1);
    const auto parsed = ledger_.standard().parse_number(number);
    if (!parsed || rows_->is_null(3))
      throw internal_error(fmt::format("the ledger planned a label for {}, which is no item.", number));
    request = {parsed->number, rows_->text(3), static_cast<int>(rows_->integer(2)), 0, rows_->maybe_decimal(4)};
    do {
      ++request.copies;
      has_row_ = rows_->step();
    } while (has_row_ && rows_->view(1) == number);
    return true;
  }

 private:
  const Ledger& ledger_;
  std::string run_;
  std::optional<Statement> rows_;
  bool has_row_ = false;
};

// Whether the run's labels can be laid out as they come: no lot and no number of it is taken up again.
bool comes_in_lots(const Ledger& ledger, const std::string& run) {
  RunLabels labels{ledger, run};
  std::unordered_set<std::string> lots;
  std::unordered_set<std::string> numbers;  // of the lot at hand
  std::string lot;
  for (ArtifactLabelRequest request; labels.next(request);) {
    if (lots.empty() || request.lot != lot) {
      lot = request.lot;
      numbers.clear();
      if (!lots.insert(lot).second) return false;
    }
    if (!numbers.insert(request.number.text()).second) return false;
  }
  return true;
}

Placements lay_out_artifacts(const Ledger& ledger, const std::string& run, bool in_lots,
                             const HouseStandard& standard) {
  RunLabels labels{ledger, run};
  if (in_lots) return lay_out_artifact_labels(labels, standard, run);
  std::vector<ArtifactLabelRequest> all;
  for (ArtifactLabelRequest request; labels.next(request);) all.push_back(request);
  return lay_out_artifact_labels(all, standard, run);
}

Error on_no_page(const RunPrint& print) {
  return internal_error(
      fmt::format("the label of print {} ({}) is on no page.", print.print.serial, print.print.number));
}

// Artifact labels are found again by number and copy.
std::vector<int> pages_by_number(const Ledger& ledger, const std::string& run, const PlacedLabels& labels) {
  std::map<std::pair<std::string, int>, int> by_number;
  for (const PlacedLabel& label : labels) by_number[{label.number, label.copy}] = label.page;
  std::map<std::string, int> copies;
  std::vector<int> pages;
  pages.reserve(labels.size());
  ledger.for_each_print(run, [&](const RunPrint& one) {
    const auto found = by_number.find({one.print.number, ++copies[one.print.number]});
    if (found == by_number.end()) throw on_no_page(one);
    pages.push_back(found->second);
  });
  return pages;
}

// Texts and copies of the placements are in the order of the prints where these come in lots: it is enough to walk
// through both.
std::vector<int> pages_in_print_order(const Ledger& ledger, const std::string& run, const PlacedLabels& labels) {
  std::vector<std::uint32_t> ordered(labels.size());
  std::iota(ordered.begin(), ordered.end(), 0U);
  std::ranges::sort(ordered, {}, [&labels](std::uint32_t i) {
    return std::pair{labels.text_of(i), labels.copy_of(i)};
  });
  std::vector<int> pages;
  pages.reserve(labels.size());
  std::string number;
  ledger.for_each_print(run, [&](const RunPrint& one) {
    const std::size_t at = pages.size();
    if (at >= ordered.size()) throw on_no_page(one);
    const std::uint32_t label = ordered[at];
    if (at == 0 || labels.text_of(label) != labels.text_of(ordered[at - 1]))
      number = labels.text(labels.text_of(label)).number;
    if (number != one.print.number) throw on_no_page(one);
    pages.push_back(labels.box(label).page);
  });
  return pages;
}

std::vector<int> pages_by_serial(const Ledger& ledger, const std::string& run, const Placements& placements) {
  std::unordered_map<std::string, int> pages;
  for (const PlacedLabel& label : placements.labels) pages[label.serial.value_or("")] = label.page;
  std::vector<int> result;
  ledger.for_each_print(run, [&](const RunPrint& one) {
    const auto found = pages.find(one.print.serial);
    if (found == pages.end()) throw on_no_page(one);
    result.push_back(found->second);
  });
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
    if (!printing.printer) throw no_such_printer(ledger, printer);
    printing.standard = for_printer(std::move(printing.standard), printing.printer->description);
  }
  printing.soak = soak_standing(soak_tests(ledger), printer, ledger.standard().artifact_stock.material, today);
  return printing;
}

void keep_little_in_memory(Ledger& ledger) {
  core_of(ledger).db.execute("PRAGMA cache_size = -8192; PRAGMA shrink_memory");
}

LabelSheets lay_out_run(const Ledger& ledger, const std::string& run, LabelRole role, const std::string& date,
                        const Printing& printing) {
  const HouseStandard& standard = printing.standard;
  LabelSheets sheets;
  if (role == LabelRole::artifact) {
    const bool in_lots = comes_in_lots(ledger, run);
    sheets.placements = lay_out_artifacts(ledger, run, in_lots, standard);
    const PlacedLabels& labels = sheets.placements.labels;
    sheets.page_of_print = in_lots ? pages_in_print_order(ledger, run, labels) : pages_by_number(ledger, run, labels);
  } else {
    std::vector<CarrierLabelRequest> requests = carrier_requests(ledger, run, role);
    sheets.placements = lay_out_carrier_labels(requests, standard, run);
    sheets.carriers = in_order_of(sheets.placements, std::move(requests));
    sheets.page_of_print = pages_by_serial(ledger, run, sheets.placements);
  }
  sheets.header = {group_identity(run),
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

OtherOrder cut_in_other_order(const Ledger& ledger, const std::string& run, const Printing& printing) {
  HouseStandard turned = printing.standard;
  turned.trimmer.keep_order = !turned.trimmer.keep_order;
  const CuttingPlan plan =
      plan_cutting(lay_out_artifacts(ledger, run, comes_in_lots(ledger, run), turned), turned.trimmer);
  return {plan.strokes, plan.seconds, plan.strokes_bound};
}

CuttingCost cutting_cost(const CuttingPlan& plan, const OtherOrder& other, const Printing& printing) {
  return {.strokes = plan.strokes,
          .seconds = plan.seconds,
          .strokes_bound = std::min(plan.strokes_bound, other.strokes_bound),
          .keeps_order = plan.order == CutOrder::labels,
          .order = plan.order,
          .other_strokes = other.strokes,
          .other_seconds = other.seconds,
          .was_asked = printing.standard.trimmer.keep_order};
}

LabelSheets lay_out_run(const Ledger& ledger, const std::string& run, LabelRole role, const std::string& date) {
  return lay_out_run(ledger, run, role, date, Printing{ledger.standard(), std::nullopt, {}});
}

}  // namespace sherdmark
