// What an inventory knows of one bag, for the person who has just scanned it; and taking a scan back. Free functions
// over a Ledger, callable from count and tools. Every answer is found by key: nothing here grows with the collection,
// but for `progress_at`, which is asked once a shelf. Events: docs/formats/ledger.md.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "sherdmark/ledger/inventory.h"

namespace sherdmark {

struct InventorySight {
  std::optional<ExpectedBag> expected;  // absent: not expected in this inventory
  std::vector<SeenReading> seen;        // in the order they were taken in
};
[[nodiscard]] InventorySight sight_of(const Ledger& ledger, const std::string& inventory, const std::string& bag);

struct InventoryProgress {
  std::int64_t wanted = 0;  // expected and not exempt
  std::int64_t seen = 0;    // of these, named by any reading
};
// Of the whole inventory (`place` empty), or of the bags that belong at a place or below it. Walks what was frozen.
[[nodiscard]] InventoryProgress progress_at(const Ledger& ledger, const std::string& inventory,
                                            const std::string& place);

// Takes back the newest reading of this inventory that is the same as `reading`; a found number it was given (the words
// before ": " in its text) is free again. One event. usage_error when there is no such reading, or the inventory is
// closed; then nothing is written.
void take_back(Ledger& ledger, const Actor& actor, const std::string& inventory, const InventoryReading& reading);

}  // namespace sherdmark
