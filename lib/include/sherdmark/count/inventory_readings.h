// From scanned or typed lines, and from the verdicts of pictures, to the readings of an inventory. Reads the ledger,
// changes nothing. Form of the lines: docs/inventory.md.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/ledger/inventory.h"
#include "sherdmark/verify/judge.h"

namespace sherdmark {

struct InventoryLineProblem {
  std::size_t line = 0;  // 1-based
  std::string text;      // as it stands
  std::string what;
  std::string remedy;
};

struct InventoryLines {
  std::vector<InventoryReading> readings;
  std::vector<InventoryLineProblem> problems;  // lines that were not understood; nothing is made of them
  std::vector<std::string> notes;              // whole sentences: codes of others, left out
  std::string place, box;                      // where it ended
};

// One line a scan or order: a code's text, a bag id, a number; "place PATH", "box NAME", "count N", "unlabelled WORDS".
// A shelf's or box's code sets the place or box as well. What is a label but cannot be read surely becomes a reading
// that is unread; what no record knows becomes unknown. `place` and `box` hold until a line says otherwise.
[[nodiscard]] InventoryLines read_inventory_lines(std::string_view text, const Ledger& ledger,
                                                  const std::string& place = {}, const std::string& box = {});

// A picture's labels as readings: every bag label and tag that was read surely, else one reading that says why not.
// A place read from a shelf label in the picture goes before `place`.
[[nodiscard]] std::vector<InventoryReading> inventory_readings(const SetVerdict& verdict, const Ledger& ledger,
                                                               const std::string& place = {},
                                                               const std::string& box = {},
                                                               std::optional<std::int64_t> counted = {});

}  // namespace sherdmark
