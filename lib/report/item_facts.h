// An item's columns as names and texts, in catalog order, restricted ones withheld. For text and JSON alike.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

struct Fact {
  std::string name;
  std::string text;
  bool restricted = false;  // text is empty then
};

[[nodiscard]] std::vector<Fact> item_facts(const ItemRecord& item, const HouseStandard& standard);

// What is known of where a bag is: home, now, box; those that are not known are left out.
[[nodiscard]] std::vector<Fact> whereabouts(const BagRecord& bag, const HouseStandard& standard);

}  // namespace sherdmark
