// Inventories, audits, box lists, weighings and grades, one random act after another, for the random history.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/base/random.h"
#include "sherdmark/ledger/audits.h"
#include "sherdmark/ledger/inventory.h"
#include "sherdmark/ledger/ledger.h"

namespace sherdmark::testing {

class RandomStocktaking {
 public:
  explicit RandomStocktaking(SeededRandom& random) : random_(random) {}

  // What the ledger refuses in words is thrown on.
  void act(Ledger& ledger, const Actor& actor);

 private:
  void inventory(Ledger& ledger, const Actor& actor);
  void see(Ledger& ledger, const Actor& actor, const std::string& inventory);
  void audit(Ledger& ledger, const Actor& actor);
  void draw(Ledger& ledger, const Actor& actor);
  void weigh(Ledger& ledger, const Actor& actor);
  void grade(Ledger& ledger, const Actor& actor);
  void box(Ledger& ledger, const Actor& actor);
  [[nodiscard]] InventoryReading random_reading(const Ledger& ledger);
  [[nodiscard]] bool chance(std::uint64_t one_in) { return random_.below(one_in) == 0; }
  template <class List>
  [[nodiscard]] const auto& any_of(const List& list) {
    return list[random_.below(list.size())];
  }

  SeededRandom& random_;
  std::vector<InventoryReading> taken_;  // of any inventory, that may be taken back
};

}  // namespace sherdmark::testing
