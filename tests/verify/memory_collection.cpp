#include "verify/memory_collection.h"

#include <set>

namespace sherdmark::testing {
namespace {

template <typename Map>
std::optional<typename Map::mapped_type> find_in(const Map& map, const std::string& key) {
  const auto found = map.find(key);
  if (found == map.end()) return std::nullopt;
  return found->second;
}

}  // namespace

std::optional<BagRecord> MemoryCollection::find_bag(const std::string& bag_id) const { return find_in(bags, bag_id); }

std::optional<PrintRecord> MemoryCollection::find_print(const std::string& serial) const {
  return find_in(prints, serial);
}

std::vector<PrintRecord> MemoryCollection::live_prints(const std::string& bag_id, LabelRole role) const {
  std::vector<PrintRecord> live;
  for (const auto& [serial, print] : prints)
    if (print.subject == bag_id && print.role == role &&
        (print.state == PrintState::printed || print.state == PrintState::applied))
      live.push_back(print);
  return live;
}

std::vector<int> MemoryCollection::current_sheets(const std::string& bag_id, LabelRole role) const {
  int revision = 0;
  std::set<int> ordinals;
  for (const auto& [serial, print] : prints) {
    if (print.subject != bag_id || print.role != role || print.revision < revision) continue;
    if (print.revision > revision) ordinals.clear();
    revision = print.revision;
    if (print.state != PrintState::superseded) ordinals.insert(print.ordinal);
  }
  return {ordinals.begin(), ordinals.end()};
}

std::vector<ExpectedArtifact> MemoryCollection::expected_artifacts(const std::string& bag_id) const {
  return find_in(expected, bag_id).value_or(std::vector<ExpectedArtifact>{});
}

NumberRecord MemoryCollection::find_number(const std::string& canonical) const {
  return find_in(numbers, canonical).value_or(NumberRecord{});
}

std::optional<ArtifactLabelRecord> MemoryCollection::artifact_label(const std::string& canonical) const {
  return find_in(labels, canonical);
}

std::vector<std::string> MemoryCollection::bags_of_item(const std::string& item) const {
  std::vector<std::string> ids;
  for (const auto& [id, bag] : bags)
    for (const BagContent& content : bag.contents)
      if (content.item == item) ids.push_back(id);
  return ids;
}

}  // namespace sherdmark::testing
