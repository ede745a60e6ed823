#include "scenes/scene_sets.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "scenes/bench_scene.h"
#include "sherdmark/base/error.h"

namespace sherdmark::scenes {
namespace {

constexpr std::size_t k_most_beside_a_second_bag = 2;

bool in_force(const Ledger& ledger, const std::string& serial) {
  const auto print = ledger.find_print(serial);
  return print && (print->state == PrintState::printed || print->state == PrintState::applied);
}

// A whole, faultless set of one bag; nothing when a label is on no sheet or too many artifacts belong to it.
std::optional<PlantedSet> whole_set(const Ledger& ledger, const SheetLabels& labels, const BagRecord& bag) {
  PlantedSet set;
  set.bag = bag.id;
  for (const ExpectedArtifact& expected : ledger.expected_artifacts(bag.id)) {
    const std::vector<SheetLabel> copies = labels.artifact(expected.number);
    const auto wanted = static_cast<std::size_t>(expected.copies);
    if (copies.size() < wanted || set.artifacts.size() + wanted > k_most_artifacts) return std::nullopt;
    set.artifacts.insert(set.artifacts.end(), copies.begin(), copies.begin() + static_cast<std::ptrdiff_t>(wanted));
  }
  const auto bag_label = labels.carrier(ledger, bag.id, LabelRole::bag, true);
  const auto tag = labels.carrier(ledger, bag.id, LabelRole::tag, true);
  if (!bag_label || !tag) return std::nullopt;
  set.number = bag_label->label.number;
  set.bag_labels.push_back(*bag_label);
  set.tags.push_back(*tag);
  return set;
}

// A canonical number of the item's scheme that the collection does not know: the next free ones are tried.
std::string number_of_nobody(const Ledger& ledger, const std::string& like) {
  const auto parsed = ledger.standard().parse_number(like);
  if (!parsed) throw internal_error("a printed number does not parse: " + like);
  const Scheme& scheme = ledger.standard().scheme(parsed->number.scheme());
  for (int next = 9100; next > 0; next -= 7) {
    std::vector<std::string> parts = parsed->number.parts();
    for (std::size_t i = 0; i < parts.size(); ++i)
      if (scheme.parts()[i].level == NumberLevel::item && scheme.parts()[i].kind == PartKind::integer)
        parts[i] = std::to_string(next);
    const auto number = scheme.format(parts);
    if (number && ledger.find_number(number->text()).meaning == NumberMeaning::unknown) return number->text();
  }
  throw data_error("no free number was found beside " + like + ".", {}, "Use a collection with room in its scheme.");
}

// Takes sets for the faults off the list, the most fitting first.
class Planter {
 public:
  Planter(const Ledger& ledger, const SheetLabels& labels, std::vector<PlantedSet> whole)
      : ledger_(ledger), labels_(labels), whole_(std::move(whole)) {}

  PlantedSet plant(Fault fault) {
    PlantedSet set = take(fault);
    set.fault = fault;
    switch (fault) {
      case Fault::none:
        break;
      case Fault::missing_tag:
        set.tags.clear();
        break;
      case Fault::wrong_tag:
        set.tags = other_than(set).tags;
        break;
      case Fault::swapped_artifact:
        set.artifacts.back() = other_than(set).artifacts.front();
        break;
      case Fault::unknown_number:
        set.invented.push_back(number_of_nobody(ledger_, set.artifacts.back().label.number));
        set.artifacts.pop_back();
        break;
      case Fault::stale_label:
        set.bag_labels = {*labels_.carrier(ledger_, set.bag, LabelRole::bag, false)};
        break;
      case Fault::two_bags:
        add_second_bag(set);
        break;
    }
    return set;
  }

 private:
  [[nodiscard]] bool fits(const PlantedSet& set, Fault fault) const {
    switch (fault) {
      case Fault::swapped_artifact:
      case Fault::unknown_number:
        return !set.artifacts.empty();
      case Fault::stale_label:
        return labels_.carrier(ledger_, set.bag, LabelRole::bag, false).has_value();
      case Fault::two_bags:
        return set.artifacts.size() <= k_most_beside_a_second_bag;
      default:
        return true;
    }
  }

  PlantedSet take(Fault fault) {
    const auto found =
        std::find_if(whole_.begin(), whole_.end(), [&](const PlantedSet& set) { return fits(set, fault); });
    if (found == whole_.end())
      throw data_error(fmt::format("the collection has no bag left for the planted fault \"{}\".", to_text(fault)), {},
                       "Use a collection with more bags, and reprint one page of bag labels for the stale one.");
    PlantedSet set = *found;
    whole_.erase(found);
    used_.push_back(set);
    return set;
  }

  // A set of another bag with artifacts, whose numbers this one does not expect.
  [[nodiscard]] const PlantedSet& other_than(const PlantedSet& set) const {
    for (const auto* list : {&whole_, &used_})
      for (const PlantedSet& other : *list)
        if (other.bag != set.bag && other.number != set.number && !other.artifacts.empty()) return other;
    throw data_error("the collection has no second bag with labelled artifacts.", {}, "Use a larger collection.");
  }

  void add_second_bag(PlantedSet& set) {
    const PlantedSet second = take(Fault::two_bags);
    set.bag_labels.push_back(second.bag_labels.front());
    set.tags.push_back(second.tags.front());
    set.artifacts.insert(set.artifacts.end(), second.artifacts.begin(), second.artifacts.end());
  }

  const Ledger& ledger_;
  const SheetLabels& labels_;
  std::vector<PlantedSet> whole_;
  std::vector<PlantedSet> used_;
};

}  // namespace

std::string_view to_text(Fault fault) {
  switch (fault) {
    case Fault::none:
      return "none";
    case Fault::swapped_artifact:
      return "swapped artifact";
    case Fault::wrong_tag:
      return "wrong tag";
    case Fault::missing_tag:
      return "missing tag";
    case Fault::stale_label:
      return "stale label";
    case Fault::unknown_number:
      return "unknown number";
    case Fault::two_bags:
      return "two bags in one picture";
  }
  return "none";
}

std::string_view expected_verdict(Fault fault) {
  switch (fault) {
    case Fault::none:
      return "agree";
    case Fault::missing_tag:
      return "incomplete";
    case Fault::stale_label:
      return "stale";
    case Fault::unknown_number:
      return "unknown";
    default:
      return "disagree";
  }
}

SheetLabels::SheetLabels(FileSystem& files, const std::vector<std::filesystem::path>& folders) {
  std::set<std::filesystem::path> found;  // in a fixed order
  for (const std::filesystem::path& folder : folders)
    for (const auto& entry : std::filesystem::directory_iterator{folder})
      if (entry.path().extension() == ".json" && !entry.path().filename().string().ends_with(".cutting.json"))
        found.insert(entry.path());
  if (found.empty())
    throw data_error("no placements were found.", {}, "Make sheets first: sherdmark labels --out DIR.");
  for (const std::filesystem::path& file : found)
    for (PlacedLabel label : read_placements_json(read_text(files, file), file.string()).labels)
      labels_.push_back({file, std::move(label)});
}

std::vector<SheetLabel> SheetLabels::artifact(const std::string& number) const {
  std::vector<SheetLabel> found;
  for (const SheetLabel& label : labels_)
    if (label.label.role == LabelRole::artifact && label.label.number == number) found.push_back(label);
  return found;
}

std::optional<SheetLabel> SheetLabels::carrier(const Ledger& ledger, const std::string& bag, LabelRole role,
                                               bool live) const {
  for (const SheetLabel& label : labels_)
    if (label.label.role == role && label.label.bag == bag && label.label.serial &&
        in_force(ledger, *label.label.serial) == live)
      return label;
  return std::nullopt;
}

std::vector<PlantedSet> plant_sets(const Ledger& ledger, const SheetLabels& labels, std::size_t faultless) {
  std::vector<PlantedSet> whole;
  for (const BagRecord& bag : ledger.bags())
    if (bag.state == BagState::active && !bag.lent)
      if (auto set = whole_set(ledger, labels, bag)) whole.push_back(std::move(*set));
  Planter planter{ledger, labels, std::move(whole)};
  std::vector<PlantedSet> sets;
  for (const Fault fault : {Fault::stale_label, Fault::swapped_artifact, Fault::wrong_tag, Fault::missing_tag,
                            Fault::unknown_number, Fault::two_bags})
    sets.push_back(planter.plant(fault));
  for (std::size_t i = 0; i < faultless; ++i) sets.push_back(planter.plant(Fault::none));
  std::sort(sets.begin(), sets.end(), [](const PlantedSet& a, const PlantedSet& b) { return a.bag < b.bag; });
  for (std::size_t i = 0; i < sets.size(); ++i) sets[i].image = fmt::format("bench-{:02}.jpg", i + 1);
  return sets;
}

}  // namespace sherdmark::scenes
