// A small random collection, and the papers that physically exist in it. What is physically true is kept beside the
// records, in words of its own, so that the oracle never has to ask the records or the judge.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "sherdmark/base/random.h"
#include "sherdmark/ledger/records.h"
#include "verify/memory_collection.h"

namespace sherdmark::adversary {

// One piece of paper. What is printed on it never changes, whatever a camera makes of it.
struct Paper {
  LabelRole role = LabelRole::artifact;
  std::string number;   // printed number; path of a shelf
  std::string subject;  // bag, shelf or box it was made for
  std::string serial;
  std::string key;
  int revision = 1;
  int sheet = 1;
  bool opaque = false;      // code carries a key instead of the number
  bool small_code = false;  // artifact: has a small code beside its text
  // --- what is true of it
  bool genuine = true;   // made by this ledger, exactly as recorded
  bool in_force = true;  // printed, not void, spoiled or replaced
  int object = 0;        // artifact: the object it is glued on; an old and a new label may share one
};

struct Bag {
  std::string id;
  std::map<std::string, int> quota;  // printed number → labelled pieces that belong in this bag
  std::vector<std::string> items;
  std::vector<std::string> lots;
  std::vector<Paper> bag_labels;  // in force; one for each sheet
  std::vector<Paper> tags;
  std::vector<Paper> stale;      // replaced, void, spoiled or never printed labels of this bag
  std::vector<Paper> artifacts;  // labels of its pieces
};

struct World {
  testing::MemoryCollection collection;
  std::vector<Bag> bags;
  std::map<std::string, std::vector<std::string>> items_of_lot;
  std::map<std::string, std::string> lot_of_field_number;
  std::map<std::string, std::vector<std::string>> items_of_former;
  std::vector<std::string> assembly;  // items of several lots that belong to one mended whole
  std::vector<std::string> never_labelled;
  std::vector<Paper> field_tags;
  std::vector<Paper> shelves;
  std::vector<Paper> boxes;
  int next_serial = 0;
  int next_object = 1;

  // A print that the ledger knows, in the given state.
  Paper make_print(LabelRole role, const std::string& subject, const std::string& number, PrintState state,
                   int revision = 1, int sheet = 1);
};

[[nodiscard]] World make_world(RandomSource& random);

[[nodiscard]] inline bool chance(RandomSource& random, double share) { return random.unit() < share; }
template <typename T>
[[nodiscard]] const T& pick(RandomSource& random, const std::vector<T>& list) {
  return list[static_cast<std::size_t>(random.below(list.size()))];
}

}  // namespace sherdmark::adversary
