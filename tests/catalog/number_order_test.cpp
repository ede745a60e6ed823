// Whether rows stand in the order of their numbers: only then is no table of them all made to find what stands twice.
#include "sherdmark/catalog/number_order.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "catalog/catalog_samples.h"
#include "sherdmark/base/random.h"

namespace sherdmark {
namespace {

std::vector<CatalogRow> rows_of(const HouseStandard& standard, const std::vector<std::string>& numbers) {
  std::vector<CatalogRow> rows(numbers.size());
  for (std::size_t i = 0; i < numbers.size(); ++i)
    if (const auto parsed = standard.parse_number(numbers[i])) rows[i].number = parsed->number;
  return rows;
}

TEST(NumberOrder, is_that_of_counting) {
  const HouseStandard& standard = quillow();
  struct Case {
    std::vector<std::string> numbers;
    bool ascend;
  };
  const std::vector<Case> cases = {
      {{}, true},
      {{"16ZQ5/1.1"}, true},
      {{"16ZQ5/1.1", "16ZQ5/1.2", "16ZQ5/1.10", "16ZQ5/2.1", "16ZQ5/10.1"}, true},
      {{"16ZQ5/1.9", "16ZQ5/1.10"}, true},
      {{"16ZQ5/1.1", "16ZQ5/1.1"}, false},
      {{"16ZQ5/1.10", "16ZQ5/1.9"}, false},
      {{"16ZQ5/1.1", "16ZQ5/1.2", "16ZQ5/1.1"}, false},
      {{"16ZQ5/2.1", "16ZQ5/1.2"}, false},
      {{"", ""}, false},           // rows whose number could not be read
      {{"", "16ZQ5/1.1"}, false},  // of different schemes, one of them none
  };
  for (const Case& one : cases)
    EXPECT_EQ(numbers_ascend(rows_of(standard, one.numbers)), one.ascend)
        << (one.numbers.empty() ? "no row" : one.numbers.front()) << " and " << one.numbers.size() - 1 << " more";
}

// What ascends holds nothing twice: over seeded lists, most of them short of numbers so that many repeat.
TEST(NumberOrder, never_ascends_over_a_number_that_stands_twice) {
  const HouseStandard& standard = quillow();
  SeededRandom random{77};
  int ascending = 0;
  for (int round = 0; round < 3000; ++round) {
    std::vector<std::string> numbers;
    for (std::uint64_t i = 0; i < 2 + random.below(3); ++i)
      numbers.push_back("16ZQ5/" + std::to_string(1 + random.below(12)) + "." + std::to_string(1 + random.below(12)));
    if (!numbers_ascend(rows_of(standard, numbers))) continue;
    ++ascending;
    std::vector<std::string> sorted = numbers;
    std::sort(sorted.begin(), sorted.end());
    ASSERT_EQ(std::adjacent_find(sorted.begin(), sorted.end()), sorted.end());
  }
  EXPECT_GE(ascending, 100);
}

}  // namespace
}  // namespace sherdmark
