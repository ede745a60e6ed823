#include "verify/adversary/oracle.h"

#include <algorithm>
#include <map>
#include <set>

namespace sherdmark::adversary {
namespace {

bool contains(const std::vector<std::string>& list, const std::string& text) {
  return std::find(list.begin(), list.end(), text) != list.end();
}

// The bag that the set is about: the one whose bag label lies in the picture, with what the ledger moved into it.
Bag bag_in_question(const Scene& scene) {
  for (const SeenPaper& seen : scene.seen) {
    if (seen.hidden || seen.paper.role != LabelRole::bag || seen.paper.subject == scene.bag.id) continue;
    for (const Bag& bag : scene.world->bags)
      if (bag.id == seen.paper.subject) {
        Bag question = bag;
        for (const auto& [moved_to, number] : scene.moved_in) question.quota[number] += moved_to == bag.id ? 1 : 0;
        std::erase_if(question.quota, [](const auto& entry) { return entry.second == 0; });
        return question;
      }
  }
  return scene.bag;
}

std::string why_carrier_is_wrong(const Scene& scene, const Bag& bag, const Paper& paper) {
  if (!paper.genuine) return "a label that this ledger never made";
  if (paper.key != scene.collection.key) return "a label of another collection";
  if (!paper.in_force) return "a label that is not in force";
  switch (paper.role) {
    case LabelRole::bag:
    case LabelRole::tag:
      return paper.subject == bag.id ? "" : "a label of another bag";
    case LabelRole::field_tag: {
      const auto lot = scene.world->lot_of_field_number.find(paper.number);
      if (lot == scene.world->lot_of_field_number.end()) return "a field tag of no lot";
      return contains(bag.lots, lot->second) ? "" : "a field tag of another lot";
    }
    case LabelRole::shelf: {
      const BagRecord& record = scene.collection.bags.at(bag.id);
      return record.now_place.empty() || record.now_place == paper.number ? "" : "seen on another shelf";
    }
    case LabelRole::box:
      return scene.collection.bags.at(bag.id).box_id == paper.subject ? "" : "seen with another box";
    default:
      return "a label that has no part in a bag";
  }
}

// Which number of the bag's quota an artifact paper stands for; empty: it has no business here.
std::string stands_for(const Scene& scene, const Bag& bag, const Paper& paper) {
  if (contains(scene.world->never_labelled, paper.number)) return "";
  if (bag.quota.count(paper.number) > 0) return paper.number;
  const auto former = scene.world->items_of_former.find(paper.number);
  if (former == scene.world->items_of_former.end() || former->second.size() != 1) return "";
  const std::string& item = former->second.front();
  return bag.quota.count(item) > 0 ? item : "";
}

std::string why_place_is_wrong(const Scene& scene, const Bag& bag) {
  const BagRecord& record = scene.collection.bags.at(bag.id);
  if (record.state == BagState::retired) return "the bag is retired";
  if (record.contents.empty()) return "nothing is recorded in the bag";
  std::vector<std::string> places;
  if (scene.place_given) places.push_back(*scene.place_given);
  for (const SeenPaper& seen : scene.seen)
    if (seen.paper.role == LabelRole::shelf && !seen.hidden) places.push_back(seen.paper.number);
  for (const std::string& place : places)
    if (!record.now_place.empty() && place != record.now_place && !record.now_place.starts_with(place + "/"))
      return "the bag is not where the ledger has it";
  if (record.lent) return "the bag is lent and should not be here";
  return "";
}

std::string why_labels_are_wrong(const Scene& scene, const Bag& bag) {
  std::map<std::pair<LabelRole, int>, int> carriers;
  std::map<std::string, std::set<int>> pieces;  // objects of each number
  for (const SeenPaper& seen : scene.seen) {
    if (seen.hidden) continue;
    const Paper& paper = seen.paper;
    if (!seen.sure || seen.newer || seen.keyed_without_serial) return "a label was seen but not read surely";
    if (paper.role == LabelRole::artifact) {
      if (!paper.in_force) return "an artifact label that is not in force";
      const std::string number = stands_for(scene, bag, paper);
      if (number.empty()) return "an artifact label that does not belong: " + paper.number;
      pieces[number].insert(paper.object);
      continue;
    }
    const std::string wrong = why_carrier_is_wrong(scene, bag, paper);
    if (!wrong.empty()) return wrong;
    if (++carriers[{paper.role, paper.sheet}] > 1 && paper.role != LabelRole::shelf) return "the same label twice";
  }
  for (const auto* required : {&bag.bag_labels, &bag.tags})
    for (const Paper& paper : *required)
      if (carriers[{paper.role, paper.sheet}] != 1) return "no bag label or tag";
  for (const auto& [number, quota] : bag.quota)
    if (static_cast<int>(pieces[number].size()) != quota) return "not the right number of pieces of " + number;
  return "";
}

}  // namespace

std::string why_agree_is_wrong(const Scene& scene) {
  const Bag bag = bag_in_question(scene);
  std::string why = why_place_is_wrong(scene, bag);
  if (why.empty()) why = why_labels_are_wrong(scene, bag);
  return why;
}

Verdict judge_naively(const ReadingSet& set, const CollectionView& records) {
  const Reading* bag = nullptr;
  bool tag = false;
  std::map<std::string, std::int64_t> pieces;
  for (const Reading& reading : set.readings) {
    if (!reading.sure) continue;
    if (reading.role == LabelRole::bag) bag = &reading;
    if (reading.role == LabelRole::tag) tag = true;
    if (reading.role == LabelRole::artifact && reading.number) ++pieces[*reading.number];
  }
  if (bag == nullptr || !tag || !bag->bag) return Verdict::incomplete;
  for (const ExpectedArtifact& expected : records.expected_artifacts(*bag->bag))
    if (pieces[expected.number] < expected.copies) return Verdict::incomplete;
  return Verdict::agree;
}

}  // namespace sherdmark::adversary
