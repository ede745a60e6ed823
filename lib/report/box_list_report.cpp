#include "sherdmark/report/box_list_report.h"

#include <fmt/format.h>

#include <algorithm>

#include "report/count_words.h"
#include "report/json_value.h"
#include "sherdmark/base/text.h"
#include "sherdmark/catalog/read_catalog.h"

namespace sherdmark {
namespace {

std::string state_words(const BoxList& list) {
  if (list.revision == 0) return "never printed";
  if (list.current)
    return fmt::format("revision {}, printed {}, still valid", list.revision, list.printed.substr(0, 10));
  return fmt::format("revision {} of {} is stale: the box has changed", list.revision, list.printed.substr(0, 10));
}

std::string count_words(const std::optional<std::int64_t>& pieces) { return pieces ? std::to_string(*pieces) : "-"; }

std::string capitalised_box(const std::string& name) {
  std::string words = printable(box_words(name));
  words.front() = to_upper_ascii(words.substr(0, 1)).front();
  return words;
}

std::string remarks_of(const BoxListLine& line) {
  std::vector<std::string> remarks;
  if (line.restricted) remarks.emplace_back("care: do not open; consult");
  if (line.lent)
    remarks.emplace_back("on loan");
  else if (line.away)
    remarks.emplace_back("elsewhere just now");
  return join(remarks, "; ");
}

std::string weight_words(const BoxList& list, const BoxWeight& weight) {
  std::vector<std::string> words;
  if (weight.measured_kg) words.push_back(fmt::format("{:.1f} kg on the scales", *weight.measured_kg));
  if (list.weighed > 0)
    words.push_back(fmt::format("{:.1f} kg of objects weighed in {} of {} bags", list.weight_g / 1000, list.weighed,
                                list.lines.size()));
  if (weight.limit_kg) words.push_back(fmt::format("limit {:.1f} kg", *weight.limit_kg));
  if (weight.too_heavy(list)) words.emplace_back("too heavy: take bags out before anybody lifts it");
  return join(words, "; ");
}

// "120", "120, and what is not counted", or "not counted".
std::string pieces_in_words(const BoxList& list) {
  std::int64_t pieces = 0;
  std::size_t counted = 0;
  for (const BoxListLine& line : list.lines) {
    pieces += line.pieces.value_or(0);
    counted += line.pieces ? 1 : 0;
  }
  if (counted == 0 && !list.lines.empty()) return "not counted";
  return fmt::format("{}{}", pieces, counted == list.lines.size() ? "" : ", and what is not counted");
}

}  // namespace

std::string box_lists_text(const std::vector<BoxList>& lists, const BoxWeight& weight,
                           const std::vector<std::string>& files) {
  if (lists.empty()) return "No box to list.\n";
  std::string text;
  for (const BoxList& list : lists) {
    text += fmt::format("{} ({}), at {}: {}, list {}\n", capitalised_box(list.box), group_identity(list.code),
                        list.now.empty() ? "no place recorded" : printable(list.now),
                        plural(static_cast<std::int64_t>(list.lines.size()), "bag", "bags"), state_words(list));
    if (const std::string words = weight_words(list, weight); !words.empty()) text += "  " + words + "\n";
    for (const BoxListLine& line : list.lines)
      text +=
          fmt::format("  {}  {}  {}  {}{}\n", group_identity(line.bag), printable(line.number), printable(line.objects),
                      line.pieces ? plural(*line.pieces, "piece", "pieces") : "not counted",
                      remarks_of(line).empty() ? "" : "  (" + remarks_of(line) + ")");
  }
  if (!files.empty()) text += "Written:\n";
  for (const std::string& file : files) text += fmt::format("  {}\n", printable(file));
  return text;
}

std::string box_lists_json(const std::vector<BoxList>& lists, const BoxWeight& weight,
                           const std::vector<StationHead>& heads, const std::vector<std::string>& files) {
  JsonValue document;
  document["schema"] = 1;
  document["boxes"] = JsonValue::array();
  for (const BoxList& list : lists) {
    JsonValue box;
    box["box"] = list.box;
    box["code"] = list.code;
    box["home"] = list.home;
    box["now"] = list.now;
    box["revision"] = list.revision;
    box["valid"] = list.current;
    box["printed"] = list.printed.empty() ? JsonValue{} : JsonValue{list.printed};
    box["contents_sha256"] = list.contents;
    box["weighed_g"] = list.weight_g;
    box["too_heavy"] = weight.too_heavy(list);
    box["bags"] = JsonValue::array();
    for (const BoxListLine& line : list.lines)
      box["bags"].push_back(JsonValue::object({{"bag", line.bag},
                                               {"number", line.number},
                                               {"objects", line.objects},
                                               {"pieces", line.pieces},
                                               {"weight_g", line.weight_g},
                                               {"lent", line.lent},
                                               {"away", line.away},
                                               {"restricted", line.restricted}}));
    document["boxes"].push_back(std::move(box));
  }
  document["measured_kg"] = weight.measured_kg;
  document["limit_kg"] = weight.limit_kg;
  document["too_heavy"] = std::ranges::any_of(lists, [&](const BoxList& list) { return weight.too_heavy(list); });
  document["files"] = JsonValue::array();
  for (const std::string& file : files) document["files"].push_back(file);
  document["heads"] = JsonValue::array();
  for (const StationHead& head : heads)
    document["heads"].push_back(
        JsonValue::object({{"station", head.station}, {"sequence", head.sequence}, {"hash", head.hash}}));
  return document.document();
}

std::string box_lists_csv(const std::vector<BoxList>& lists, const std::vector<StationHead>& heads) {
  std::vector<std::vector<std::string>> rows;
  const std::string head = heads_text(heads);
  for (const BoxList& list : lists)
    for (const BoxListLine& line : list.lines)
      rows.push_back({list.box, std::to_string(list.revision), list.now, group_identity(line.bag), line.number,
                      line.objects, line.pieces ? std::to_string(*line.pieces) : "",
                      line.weight_g ? fmt::format("{:.1f}", *line.weight_g) : "", remarks_of(line), head});
  return write_csv({"box", "revision", "place", "bag", "number", "objects", "pieces", "weight_g", "remarks", "ledger"},
                   rows);
}

Report box_list_pages(const BoxList& list, const BoxWeight& weight, ReportHead head) {
  Report pages{std::move(head), {}};
  pages.head.scope = fmt::format("{}, revision {}", capitalised_box(list.box), list.revision);
  ReportFacts facts{{{"Box", fmt::format("{} ({})", list.box, group_identity(list.code))},
                     {"Revision", std::to_string(list.revision)},
                     {"Stands at", list.now.empty() ? "no place recorded" : list.now},
                     {"Belongs at", list.home.empty() ? "no place recorded" : list.home},
                     {"Bags", std::to_string(list.lines.size())},
                     {"Pieces", pieces_in_words(list)}}};
  if (const std::string words = weight_words(list, weight); !words.empty()) facts.facts.push_back({"Weight", words});
  pages.blocks.emplace_back(std::move(facts));
  if (weight.too_heavy(list))
    pages.blocks.emplace_back(ReportNotice{"Too heavy", "Take bags out before anybody lifts this box."});
  ReportTable table{{{"", 0.35, ReportCell::tick},
                     {"Bag", 1.1, ReportCell::left, 8.5, true},
                     {"Number", 1.9, ReportCell::left, 8.5},
                     {"What", 3},
                     {"Pieces", 0.6, ReportCell::right},
                     {"Remarks", 1.2}},
                    {},
                    "The box is empty."};
  for (const BoxListLine& line : list.lines)
    table.rows.push_back(
        {"", group_identity(line.bag), line.number, line.objects, count_words(line.pieces), remarks_of(line)});
  pages.blocks.emplace_back(std::move(table));
  pages.blocks.emplace_back(ReportText{
      "This list is valid as long as nothing is taken out of the box or put into it. Then print the next revision and "
      "destroy this one.",
      false, 8});
  return pages;
}

}  // namespace sherdmark
