// What a bag holds after all, counted, weighed, or both. A count that is another while the weight is the same (a sherd
// broke, two were refitted) conserves the weight and needs no other reason; anything else needs a stated one. Free
// functions over a Ledger, callable from tools. Events: docs/formats/ledger.md.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

struct Recount {
  std::string bag;
  std::string item;                    // canonical number
  std::optional<std::int64_t> pieces;  // counted
  std::optional<double> weight_g;      // of all of the item; it must lie in this bag alone
  std::string reason;                  // empty where the weight is conserved, or is taken for the first time
};

struct RecountResult {
  std::optional<std::int64_t> pieces_before;
  std::optional<double> weight_before_g;
  bool weight_conserved = false;  // weighed, and the same as recorded within what scales allow
  bool changed = false;           // an event was written
};

// The same weight: within 0.1 g or 1 %, whichever is more (what a bench balance and dust allow; common practice, no
// source).
[[nodiscard]] bool same_weight(double recorded_g, double weighed_g);

// One event or, when nothing differs, none. usage_error in words when it cannot be; then nothing is written.
RecountResult recount_item(Ledger& ledger, const Actor& actor, const Recount& recount);

}  // namespace sherdmark
