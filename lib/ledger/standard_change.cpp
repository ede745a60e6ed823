#include "sherdmark/ledger/standard_change.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_examples = 10;

bool reads(const HouseStandard& standard, const std::string& number) {
  const auto parsed = standard.parse_number(number);
  return parsed && parsed->number.text() == number;
}

// A lot of a scheme without a level for lots goes by its accession's name, which no edition reads.
void try_number(const HouseStandard& in_force, const HouseStandard& standard, const std::string& number,
                StandardMisfit& misfit) {
  if (reads(standard, number) || !reads(in_force, number)) return;
  ++misfit.numbers;
  if (misfit.examples.size() < k_examples) misfit.examples.push_back(number);
}

}  // namespace

StandardMisfit numbers_that_do_not_fit(const Ledger& ledger, const HouseStandard& standard) {
  StandardMisfit misfit;
  const HouseStandard& in_force = ledger.standard();
  for (const LotRecord& lot : ledger.lots()) try_number(in_force, standard, lot.number, misfit);
  for (const ItemRecord& item : ledger.items()) try_number(in_force, standard, item.row.number.text(), misfit);
  return misfit;
}

}  // namespace sherdmark
