#include "sherdmark/ledger/label_sheets.h"

#include <fmt/format.h>

#include <map>
#include <unordered_map>
#include <utility>

#include "sherdmark/base/error.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/ledger/plan_labels.h"

namespace sherdmark {
namespace {

std::string title_of(LabelRole role) {
  switch (role) {
    case LabelRole::artifact:
      return "Artifact labels";
    case LabelRole::bag:
      return "Bag labels";
    case LabelRole::tag:
      return "Interior tags";
    default:
      return fmt::format("{} labels", to_text(role));
  }
}

std::vector<std::string> instructions_of(LabelRole role) {
  const std::string size = "Print at 100 %, never \"fit to page\"; the bar below must measure what it says.";
  switch (role) {
    case LabelRole::artifact:
      return {size, "Laser printer only. Cut along the shared lines. Keep each label with its bag until it is glued."};
    case LabelRole::bag:
      return {size, "Cut along the shared lines. One label outside on each bag, text and code flat."};
    case LabelRole::tag:
      return {size, "Cut along the shared lines. One tag loose within each bag, text outwards."};
    default:
      return {size, "Cut along the shared lines."};
  }
}

std::vector<ArtifactLabelRequest> artifact_requests(const Ledger& ledger, const PrintRun& run) {
  const HouseStandard& standard = ledger.standard();
  std::unordered_map<std::string, std::string> lots;
  for (const ItemRecord& item : ledger.items()) lots.emplace(item.row.number.text(), item.lot);
  std::vector<ArtifactLabelRequest> requests;
  for (const RunPrint& one : run.prints) {
    if (!requests.empty() && requests.back().number.text() == one.print.number) {
      ++requests.back().copies;
      continue;
    }
    const auto parsed = standard.parse_number(one.print.number);
    const auto lot = lots.find(one.print.subject);
    if (!parsed || lot == lots.end())
      throw internal_error(fmt::format("the ledger planned a label for {}, which is no item.", one.print.number));
    requests.push_back({parsed->number, lot->second, one.print.revision, 1});
  }
  return requests;
}

std::vector<CarrierLabelRequest> carrier_requests(const Ledger& ledger, const PrintRun& run, LabelRole role) {
  std::unordered_map<std::string, std::string> texts;  // subject → planned text
  for (const LabelRecord& label : ledger.labels(role)) texts.emplace(label.subject, label.text);
  std::vector<CarrierLabelRequest> requests;
  for (const RunPrint& one : run.prints) {
    const PrintRecord& print = one.print;
    const auto bag = ledger.find_bag(print.subject);
    const LinkCode link{.collection_key = ledger.collection_key(),
                        .role = role,
                        .subject = print.subject,
                        .number = print.number,
                        .number_is_opaque = bag && bag->sensitive,
                        .ordinal = print.ordinal,
                        .serial = print.serial,
                        .revision = print.revision};
    requests.push_back({role, print.subject, print.number, print.serial, print.revision, write_link_code(link),
                        read_carrier_text(texts[print.subject])});
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

LabelSheets lay_out_run(const Ledger& ledger, const PrintRun& run, LabelRole role, const std::string& date) {
  const HouseStandard& standard = ledger.standard();
  LabelSheets sheets;
  if (role == LabelRole::artifact) {
    sheets.placements = lay_out_artifact_labels(artifact_requests(ledger, run), standard, run.id);
  } else {
    std::vector<CarrierLabelRequest> requests = carrier_requests(ledger, run, role);
    sheets.placements = lay_out_carrier_labels(requests, standard, run.id);
    sheets.carriers = in_order_of(sheets.placements, std::move(requests));
  }
  sheets.page_of_print = pages_of(run, sheets.placements, role != LabelRole::artifact);
  sheets.header = {
      run.id, title_of(role),        standard.repository,
      date,   instructions_of(role), role == LabelRole::artifact ? standard.cautions : std::vector<std::string>{}};
  return sheets;
}

}  // namespace sherdmark
