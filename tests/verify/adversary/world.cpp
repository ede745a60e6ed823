#include "verify/adversary/world.h"

#include <algorithm>
#include <array>

namespace sherdmark::adversary {
namespace {

// Numbers that are easily taken for one another: upside down, cut short, or close.
constexpr std::array k_traps{6, 9, 66, 99, 3, 34, 347, 1, 11, 111, 68, 89, 12, 21, 5, 50};

std::string serial_of(int count) {
  std::string serial(8, 'A');
  for (std::size_t i = 0; i < 8; ++i, count /= 26) serial[7 - i] = static_cast<char>('A' + count % 26);
  return serial;
}

struct Maker {
  World world{};
  RandomSource& random;

  Bag& new_bag() {
    Bag bag;
    bag.id = "B" + std::to_string(100 + world.bags.size() * 7);
    BagRecord& record = world.collection.bags[bag.id];
    record.id = bag.id;
    if (chance(random, 0.7)) record.home_place = pick(random, world.shelves).number;
    record.now_place = record.home_place;
    if (chance(random, 0.3)) {
      record.box_id = pick(random, world.boxes).subject;
      record.box = "Box " + record.box_id;
    }
    record.sensitive = chance(random, 0.15);
    world.bags.push_back(bag);
    return world.bags.back();
  }

  void add_paper(Bag& bag, const std::string& number, bool small_codes) {
    Paper paper;
    paper.number = number;
    paper.small_code = small_codes;
    paper.object = world.next_object++;
    bag.artifacts.push_back(paper);
  }

  // `labelled` pieces that all show `printed`, of `item`, go into the bag.
  void put(Bag& bag, const std::string& item, const std::string& lot, const std::vector<std::string>& printed,
           std::int64_t quantity, bool weighed, bool small_codes) {
    BagContent content{item, quantity, static_cast<std::int64_t>(printed.size()), std::nullopt};
    content.unlabelled = quantity - content.labelled;
    if (weighed) {
      content.quantity.reset();
      content.unlabelled.reset();
    }
    world.collection.bags[bag.id].contents.push_back(content);
    bag.items.push_back(item);
    if (std::find(bag.lots.begin(), bag.lots.end(), lot) == bag.lots.end()) bag.lots.push_back(lot);
    auto& expected = world.collection.expected[bag.id];
    for (const std::string& number : printed) {
      if (bag.quota[number]++ == 0) {
        expected.push_back({number, item, 1});
      } else {
        for (ExpectedArtifact& artifact : expected) artifact.copies += artifact.number == number ? 1 : 0;
      }
      (chance(random, 0.5) ? world.collection.labels[number].applied : world.collection.labels[number].printed) += 1;
      add_paper(bag, number, small_codes);
    }
  }

  void make_item(const std::string& lot, const std::string& item) {
    world.items_of_lot[lot].push_back(item);
    world.collection.numbers[lot].items.push_back(item);
    NumberRecord& record = world.collection.numbers[item];
    record.meaning = NumberMeaning::item;
    record.items = {item};
    const bool small_codes = chance(random, 0.3);
    const double kind = random.unit();
    Bag& bag = !world.bags.empty() && chance(random, 0.25) ? world.bags.back() : new_bag();
    const std::string bag_id = bag.id;
    if (kind < 0.1) {
      record.never_label = true;
      world.never_labelled.push_back(item);
      put(bag, item, lot, {}, 1, false, false);
    } else if (kind < 0.2) {
      put(bag, item, lot, {}, 0, true, false);
    } else if (kind < 0.4) {
      std::vector<std::string> pieces;
      for (std::uint64_t i = 0; i < 2 + random.below(3); ++i) {
        pieces.push_back(item + "." + std::to_string(i + 1));
        world.collection.numbers[pieces.back()] = {NumberMeaning::piece, {item}, "", false, LabelDecision::direct, {}};
      }
      const auto half = static_cast<std::ptrdiff_t>(chance(random, 0.4) ? pieces.size() / 2 : pieces.size());
      put(bag, item, lot, {pieces.begin(), pieces.begin() + half}, half, false, small_codes);
      if (half < static_cast<std::ptrdiff_t>(pieces.size()))
        put(new_bag(), item, lot, {pieces.begin() + half, pieces.end()},
            static_cast<std::ptrdiff_t>(pieces.size()) - half, false, small_codes);
    } else {
      const auto copies = 1 + random.below(4);
      put(bag, item, lot, std::vector<std::string>(copies, item), static_cast<std::int64_t>(copies + random.below(50)),
          false, small_codes);
      if (chance(random, 0.3)) {
        const auto more = 1 + random.below(3);
        put(new_bag(), item, lot, std::vector<std::string>(more, item), static_cast<std::int64_t>(more), false,
            small_codes);
      }
    }
  }

  void make_lots() {
    const auto lots = 2 + random.below(3);
    for (std::uint64_t i = 0; i < lots; ++i) {
      const std::string lot = std::to_string(12 + 22 * i);
      world.collection.numbers[lot].meaning = NumberMeaning::lot;
      for (std::uint64_t j = 0; j < 2 + random.below(4); ++j) {
        const std::string item = lot + "-" + std::to_string(k_traps[random.below(k_traps.size())]);
        if (world.collection.numbers.count(item) == 0) make_item(lot, item);
      }
      world.assembly.push_back(pick(random, world.items_of_lot[lot]));
      const std::string field_number = "F-" + std::to_string(100 + i);
      world.lot_of_field_number[field_number] = lot;
      world.collection.numbers[field_number] = {NumberMeaning::field_number, {}, lot, false, LabelDecision::direct, {}};
      world.field_tags.push_back(
          world.make_print(LabelRole::field_tag, "FT" + std::to_string(i), field_number, PrintState::applied));
    }
    world.collection.numbers["F-999"] = {NumberMeaning::field_number, {}, "", false, LabelDecision::direct, {}};
  }

  // Former numbers: of one item, and of several.
  void make_former() {
    int count = 7000;
    for (const auto& [lot, items] : world.items_of_lot) {
      for (int several = 0; several < 2; ++several) {
        const std::string former = std::to_string(count++);
        std::vector<std::string> leads_to{pick(random, items)};
        if (several == 1 && items.size() > 1)
          leads_to = {items.front(), items.back()};
        else if (several == 1)
          continue;
        world.items_of_former[former] = leads_to;
        world.collection.numbers[former] = {NumberMeaning::former_number, leads_to, "", false, LabelDecision::direct, {}};
      }
    }
  }

  std::string carrier_number(const Bag& bag) {
    if (bag.items.size() > 1) return bag.id;
    return chance(random, 0.2) ? bag.lots.front() : bag.items.front();
  }

  void make_carriers(Bag& bag) {
    const std::string number = carrier_number(bag);
    const bool opaque = world.collection.bags[bag.id].sensitive;
    const int revision = chance(random, 0.3) ? 2 : 1;
    const int sheets = chance(random, 0.1) ? 2 : 1;
    for (const LabelRole role : {LabelRole::bag, LabelRole::tag}) {
      auto& in_force = role == LabelRole::bag ? bag.bag_labels : bag.tags;
      for (int sheet = 1; sheet <= (role == LabelRole::tag ? sheets : 1); ++sheet)
        in_force.push_back(world.make_print(
            role, bag.id, number, chance(random, 0.5) ? PrintState::applied : PrintState::printed, revision, sheet));
      constexpr std::array k_not_in_force{PrintState::superseded, PrintState::void_, PrintState::spoiled,
                                          PrintState::generated};
      for (const PrintState state : k_not_in_force)
        bag.stale.push_back(world.make_print(role, bag.id, number, state, revision > 1 ? 1 : revision));
    }
    for (auto* papers : {&bag.bag_labels, &bag.tags, &bag.stale})
      for (Paper& paper : *papers) paper.opaque = opaque;
  }
};

}  // namespace

Paper World::make_print(LabelRole role, const std::string& subject, const std::string& number, PrintState state,
                        int revision, int sheet) {
  PrintRecord record{serial_of(next_serial++), role, subject, number, revision, sheet, state, "R1"};
  collection.prints[record.serial] = record;
  Paper paper;
  paper.role = role;
  paper.number = number;
  paper.subject = subject;
  paper.serial = record.serial;
  paper.key = collection.key;
  paper.revision = revision;
  paper.sheet = sheet;
  paper.in_force = state == PrintState::printed || state == PrintState::applied;
  return paper;
}

World make_world(RandomSource& random) {
  Maker maker{{}, random};
  for (const char* place : {"Room 1/Shelf 1", "Room 1/Shelf 2", "Room 2/Shelf 1"})
    maker.world.shelves.push_back(maker.world.make_print(
        LabelRole::shelf, "P" + std::to_string(maker.world.shelves.size()), place, PrintState::applied));
  for (const char* box : {"X1", "X2"})
    maker.world.boxes.push_back(maker.world.make_print(LabelRole::box, box, box, PrintState::applied));
  maker.make_lots();
  maker.make_former();
  for (Bag& bag : maker.world.bags) maker.make_carriers(bag);
  return std::move(maker.world);
}

}  // namespace sherdmark::adversary
