// Catalogs mostly stand in the order of their numbers, and then nothing in them stands twice: seen by looking at each
// number and the one above it, without a table of them all. Callable from catalog and ledger.
#pragma once

#include <span>

#include "sherdmark/catalog/rows.h"

namespace sherdmark {

// True when each number comes after the one of the row above: then all are different. False says nothing. The order is
// that of the parts, shorter before longer, then by bytes: 9 before 10, as they are counted.
[[nodiscard]] bool numbers_ascend(std::span<const CatalogRow> rows);

}  // namespace sherdmark
