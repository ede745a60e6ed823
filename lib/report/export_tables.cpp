#include "sherdmark/report/export_tables.h"

#include <fmt/format.h>

#include <set>
#include <utility>

#include "report/item_facts.h"
#include "sherdmark/catalog/read_catalog.h"
#include "sherdmark/ledger/stored_labels.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

std::string number_or_nothing(const std::optional<std::int64_t>& value) {
  return value ? fmt::format("{}", *value) : std::string{};
}

}  // namespace

std::string bags_csv(const Ledger& ledger, bool include_restricted) {
  const auto leaves = [&](std::string_view column) {
    return include_restricted || !is_restricted(ledger.standard(), column);
  };
  const bool places = leaves("place");
  const bool boxes = leaves("box");
  std::vector<std::string> header{"bag", "mark", "item", "quantity", "labelled", "unlabelled"};
  if (boxes) header.emplace_back("box");
  header.insert(header.end(), {"lent", "active"});
  if (places) header.insert(header.end(), {"home", "now"});
  std::vector<std::vector<std::string>> rows;
  for (const BagRecord& bag : ledger.bags()) {
    for (const BagContent& content : bag.contents) {
      std::vector<std::string> row{bag.id,
                                   ledger.bag_mark(bag.id),
                                   content.item,
                                   number_or_nothing(content.quantity),
                                   fmt::format("{}", content.labelled),
                                   number_or_nothing(content.unlabelled)};
      if (boxes) row.push_back(bag.box);
      row.emplace_back(bag.lent ? "yes" : "no");
      row.emplace_back(bag.state == BagState::active ? "yes" : "no");
      if (places) row.insert(row.end(), {bag.home_place, bag.now_place});
      rows.push_back(std::move(row));
    }
  }
  return write_csv(header, rows);
}

std::string labels_csv(const Ledger& ledger, bool include_restricted) {
  std::vector<std::vector<std::string>> rows;
  for (const LabelRole role : {LabelRole::artifact, LabelRole::bag, LabelRole::tag})
    for (const LabelRecord& label : ledger.labels(role))
      rows.push_back({std::string{to_text(label.role)}, label.subject, label.number, fmt::format("{}", label.revision),
                      fmt::format("{}", label.copies), fmt::format("{}", label.live),
                      include_restricted ? label.text : text_that_may_be_shown(ledger.standard(), label)});
  return write_csv({"role", "subject", "number", "revision", "copies", "live_prints", "text"}, rows);
}

std::vector<std::string> restricted_columns(const Ledger& ledger) {
  std::set<std::string> names;
  for (const ItemRecord& item : ledger.items())
    for (const Fact& fact : item_facts(item, ledger.standard()))
      if (fact.restricted) names.insert(fact.name);
  return {names.begin(), names.end()};
}

}  // namespace sherdmark
