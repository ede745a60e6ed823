// What lies in a box, for the paper that lies on top of it; and whether the paper printed last still says so.
// Callable from report and tools.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

struct BoxListLine {
  std::string bag;
  std::string number;   // lot, item, or "X and n more"; empty for a restricted bag
  std::string objects;  // what is in it, in words: "bowl, ceramic; nail, iron"; empty for a restricted bag
  std::optional<std::int64_t> pieces;
  std::optional<double> weight_g;  // of its items, where they are weighed and lie in this bag alone
  bool lent = false;
  bool away = false;        // moved on its own to where its box is not
  bool restricted = false;  // a care flag: the paper shows its id and no more
};

struct BoxList {
  std::string box;
  std::string code;
  std::string home, now;
  std::vector<BoxListLine> lines;   // active bags, by id
  std::string contents;             // SHA-256 over the lines: the same as long as the paper would say the same
  int revision = 0;                 // printed last; 0: never
  std::string printed, printed_by;  // when and by whom
  bool current = false;             // the paper printed last still says what is in the box
  std::int64_t weighed = 0;         // lines with a weight
  double weight_g = 0;              // of these
};

// Throws usage_error when there is no such box (its name or code).
[[nodiscard]] BoxList box_list(const Ledger& ledger, const std::string& box);
[[nodiscard]] std::vector<std::string> box_names(const Ledger& ledger);
// One event, when the list differs from the one printed last: the next revision. Returns the revision that is valid.
int record_box_list(Ledger& ledger, const Actor& actor, const BoxList& list);

}  // namespace sherdmark
