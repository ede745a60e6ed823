#include "verify/case.h"

#include <algorithm>
#include <map>

#include "sherdmark/verify/print_match.h"

namespace sherdmark {
namespace {

template <typename T>
void add_once(std::vector<T>& list, const T& value) {
  if (std::find(list.begin(), list.end(), value) == list.end()) list.push_back(value);
}

SeenCarrier look_up(const MergedCarrier& merged, const CollectionView& records) {
  SeenCarrier carrier{merged.reading, merged.copies_in_one_picture, false, {}, {}, {}};
  const Reading& reading = carrier.reading;
  carrier.ours = !reading.collection_key || *reading.collection_key == records.collection_key();
  if (!carrier.ours) return carrier;
  carrier.print = records.find_print(*reading.serial);
  if (carrier.print) carrier.mismatch = field_unlike_print(reading, *carrier.print, records);
  if (carrier.names_bag()) carrier.bag = records.find_bag(*reading.bag);
  return carrier;
}

bool is_typed_box(const Reading& reading) {
  return reading.role == LabelRole::box && reading.source == ReadingSource::keyed && reading.sure && !reading.serial &&
         reading.number;
}

std::vector<std::string> bags_named(const std::vector<SeenCarrier>& carriers, LabelRole role) {
  std::vector<std::string> ids;
  for (const SeenCarrier& carrier : carriers)
    if (carrier.ours && carrier.reading.role == role) add_once(ids, *carrier.reading.bag);
  return ids;
}

bool holds_any(const BagRecord& bag, const std::vector<std::string>& items) {
  return std::any_of(bag.contents.begin(), bag.contents.end(), [&](const BagContent& content) {
    return std::find(items.begin(), items.end(), content.item) != items.end();
  });
}

std::vector<std::string> items_of(const CollectionView& records, const NumberRecord& record,
                                  const std::string& number) {
  std::vector<std::string> items = record.items;
  if (record.meaning == NumberMeaning::item) add_once(items, number);
  if (record.meaning == NumberMeaning::field_number && !record.bound_to.empty())
    for (const std::string& item : records.find_number(record.bound_to).items) add_once(items, item);
  return items;
}

void settle_former(const Case& the_case, SeenNumber& seen) {
  if (seen.record.items.empty()) {
    seen.belonging = Belonging::no_record;
    return;
  }
  if (seen.record.items.size() > 1) {
    seen.belonging = Belonging::ambiguous;
    return;
  }
  if (!holds_any(*the_case.bag, seen.record.items)) {
    seen.belonging = Belonging::elsewhere;
    return;
  }
  std::vector<std::string> candidates;
  for (const ExpectedNumber& expected : the_case.expected)
    if (expected.artifact.item == seen.record.items.front()) candidates.push_back(expected.artifact.number);
  if (candidates.size() > 1) {
    seen.belonging = Belonging::ambiguous;
  } else if (candidates.empty()) {
    seen.belonging = Belonging::former_unlabelled;
  } else {
    seen.belonging = Belonging::former;
    seen.stands_for = candidates.front();
  }
}

void settle_belonging(const Case& the_case, SeenNumber& seen) {
  const std::string& number = seen.count.number;
  if (!seen.record.formerly.empty()) {
    seen.belonging = Belonging::reused;
    return;
  }
  const std::vector<std::string> items = items_of(the_case.records, seen.record, number);
  for (const ExpectedNumber& expected : the_case.expected)
    if (expected.artifact.number == number) {
      const bool recorded = std::find(items.begin(), items.end(), expected.artifact.item) != items.end();
      const bool current = seen.record.meaning != NumberMeaning::former_number;
      seen.belonging = recorded && current ? Belonging::expected : Belonging::no_record;
      seen.stands_for = number;
      return;
    }
  switch (seen.record.meaning) {
    case NumberMeaning::unknown:
      seen.belonging = Belonging::no_record;
      return;
    case NumberMeaning::former_number:
      settle_former(the_case, seen);
      return;
    case NumberMeaning::item:
    case NumberMeaning::piece:
      seen.belonging = holds_any(*the_case.bag, items) ? Belonging::not_expected : Belonging::elsewhere;
      return;
    case NumberMeaning::lot:
    case NumberMeaning::field_number:
      seen.belonging = holds_any(*the_case.bag, items) ? Belonging::not_an_item : Belonging::elsewhere;
      return;
  }
}

void tally(Case& the_case, const SeenNumber& seen) {
  if (seen.belonging == Belonging::former_unlabelled)
    for (UnlabelledItem& one : the_case.unlabelled) {
      if (one.item != seen.record.items.front()) continue;
      one.at_least = std::max(one.at_least, seen.count.at_least);
      one.at_most += seen.count.at_most;
    }
  if (seen.belonging != Belonging::expected && seen.belonging != Belonging::former) return;
  for (ExpectedNumber& expected : the_case.expected) {
    if (expected.artifact.number != seen.stands_for) continue;
    expected.at_least = std::max(expected.at_least, seen.count.at_least);
    expected.at_most += seen.count.at_most;
    expected.keyed_in_doubt = expected.keyed_in_doubt || seen.count.keyed_in_doubt;
  }
}

// How many labels of each expected number belong in all bags together.
void count_over_all_bags(Case& the_case) {
  std::map<std::string, std::map<std::string, std::int64_t>> in_other_bags;  // by item, by number
  for (ExpectedNumber& expected : the_case.expected) {
    const auto [found, fresh] = in_other_bags.try_emplace(expected.artifact.item);
    if (fresh)
      for (const std::string& bag : the_case.records.bags_of_item(expected.artifact.item)) {
        if (bag == the_case.bag->id) continue;
        for (const ExpectedArtifact& other : the_case.records.expected_artifacts(bag))
          found->second[other.number] += other.copies;
      }
    const auto others = found->second.find(expected.artifact.number);
    expected.in_all_bags = expected.artifact.copies + (others == found->second.end() ? 0 : others->second);
  }
}

void list_contents(Case& the_case) {
  for (ExpectedArtifact& artifact : the_case.records.expected_artifacts(the_case.bag->id))
    the_case.expected.push_back({std::move(artifact), 0, 0, false, 0});
  count_over_all_bags(the_case);
  for (const BagContent& content : the_case.bag->contents)
    the_case.unlabelled.push_back({content.item, content.quantity, 0, 0});
}

}  // namespace

Case open_case(const ReadingSet& set, const CollectionView& records, const HouseStandard& standard) {
  Case the_case{set, records, standard, {}, {}, {}, {}, {}, {}, {}, {}, {}, {}};
  std::vector<Reading> labels;
  for (const Reading& reading : set.readings) {
    if (is_typed_box(reading)) {
      add_once(the_case.boxes_typed, *reading.number);
    } else {
      labels.push_back(reading);
    }
  }
  MergedReadings merged = merge_readings(labels, standard.read_margin);
  the_case.unsure = std::move(merged.unsure);
  the_case.slips = std::move(merged.slips);
  for (const MergedCarrier& carrier : merged.carriers) the_case.carriers.push_back(look_up(carrier, records));

  the_case.bag_ids = bags_named(the_case.carriers, LabelRole::bag);
  if (the_case.bag_ids.empty()) the_case.bag_ids = bags_named(the_case.carriers, LabelRole::tag);
  if (the_case.bag_ids.size() == 1) the_case.bag = records.find_bag(the_case.bag_ids.front());
  if (the_case.bag) list_contents(the_case);

  for (const ArtifactCount& count : merged.artifacts) {
    SeenNumber seen{count, records.find_number(count.number), records.artifact_label(count.number), {}, {}};
    seen.belonging = Belonging::bag_unknown;
    if (the_case.bag) settle_belonging(the_case, seen);
    if (!the_case.bag && !seen.record.formerly.empty()) seen.belonging = Belonging::reused;
    if (!the_case.bag && seen.record.meaning == NumberMeaning::unknown) seen.belonging = Belonging::no_record;
    tally(the_case, seen);
    the_case.numbers.push_back(std::move(seen));
  }

  if (set.place_given && !set.place_given->empty()) the_case.places.push_back(*set.place_given);
  for (const SeenCarrier& carrier : the_case.carriers)
    if (carrier.ours && carrier.reading.role == LabelRole::shelf) {
      const auto& path = carrier.reading.number;  // a shelf label's text is the path of its place
      add_once(the_case.places, path && !path->empty() ? *path : *carrier.reading.place);
    }
  return the_case;
}

std::vector<int> sheets_needed(const Case& the_case, LabelRole role) {
  std::vector<int> ordinals;
  if (the_case.bag) ordinals = the_case.records.current_sheets(the_case.bag->id, role);
  if (the_case.bag)
    for (const PrintRecord& print : the_case.records.live_prints(the_case.bag->id, role))
      add_once(ordinals, print.ordinal);
  if (ordinals.empty()) ordinals.push_back(1);
  return ordinals;
}

std::vector<int> sheets_seen(const Case& the_case, LabelRole role) {
  std::vector<int> ordinals;
  for (const SeenCarrier& carrier : the_case.carriers)
    if (carrier.ours && carrier.reading.role == role && the_case.bag && *carrier.reading.bag == the_case.bag->id)
      add_once(ordinals, carrier.print ? carrier.print->ordinal : carrier.reading.ordinal.value_or(1));
  return ordinals;
}

bool required(const Case& the_case, LabelRole role) {
  if (role == LabelRole::bag) return the_case.standard.agreement.bag;
  if (role == LabelRole::tag) return the_case.standard.agreement.tag;
  return role == LabelRole::artifact && the_case.standard.agreement.artifacts;
}

std::optional<std::int64_t> recorded_pieces(const Case& the_case) {
  if (!the_case.bag) return std::nullopt;
  std::int64_t pieces = 0;
  for (const BagContent& content : the_case.bag->contents) {
    if (!content.quantity) return std::nullopt;
    pieces += *content.quantity;
  }
  return pieces;
}

NumberInBag number_in_bag(const CollectionView& records, const BagRecord& bag, const std::string& number) {
  if (number == bag.id) return NumberInBag::yes;
  const NumberRecord record = records.find_number(number);
  if (record.meaning == NumberMeaning::unknown) return NumberInBag::no_record;
  if (record.meaning == NumberMeaning::field_number && record.bound_to.empty()) return NumberInBag::unbound;
  if (record.meaning == NumberMeaning::former_number && record.items.size() > 1) return NumberInBag::ambiguous;
  return holds_any(bag, items_of(records, record, number)) ? NumberInBag::yes : NumberInBag::no;
}

std::string describe_label(const Reading& reading) {
  std::string text{to_text(reading.role)};
  if (reading.role != LabelRole::tag && reading.role != LabelRole::field_tag) text += " label";
  if (reading.sure && reading.serial && !reading.serial->empty()) text += " " + *reading.serial;
  const bool code = reading.source != ReadingSource::text && reading.source != ReadingSource::keyed;
  if (!reading.sure && code) text = "code";  // what it is for is part of what was not read
  if (!reading.sure && !reading.image.empty()) text += " in " + reading.image;
  return text;
}

}  // namespace sherdmark
