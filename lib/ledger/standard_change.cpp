#include "sherdmark/ledger/standard_change.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_examples = 10;

void try_number(const HouseStandard& standard, const std::string& number, StandardMisfit& misfit) {
  const auto parsed = standard.parse_number(number);
  if (parsed && parsed->number.text() == number) return;
  ++misfit.numbers;
  if (misfit.examples.size() < k_examples) misfit.examples.push_back(number);
}

}  // namespace

StandardMisfit numbers_that_do_not_fit(const Ledger& ledger, const HouseStandard& standard) {
  StandardMisfit misfit;
  for (const LotRecord& lot : ledger.lots()) try_number(standard, lot.number, misfit);
  for (const ItemRecord& item : ledger.items()) try_number(standard, item.row.number.text(), misfit);
  return misfit;
}

}  // namespace sherdmark
