#include "sherdmark/catalog/number_order.h"

#include <algorithm>
#include <string_view>

namespace sherdmark {
namespace {

// A strict order of numbers of one scheme: its parts spell the number, so two that differ differ in a part.
bool comes_before(const Number& a, const Number& b) {
  const std::size_t shared = std::min(a.part_count(), b.part_count());
  for (std::size_t i = 0; i < shared; ++i) {
    const std::string_view one = a.part(i);
    const std::string_view other = b.part(i);
    if (one == other) continue;
    return one.size() != other.size() ? one.size() < other.size() : one < other;
  }
  return a.part_count() < b.part_count();
}

}  // namespace

bool numbers_ascend(std::span<const CatalogRow> rows) {
  for (std::size_t i = 1; i < rows.size(); ++i) {
    const Number& above = rows[i - 1].number;
    const Number& number = rows[i].number;
    if (above.scheme() != number.scheme() || !comes_before(above, number)) return false;
  }
  return true;
}

}  // namespace sherdmark
