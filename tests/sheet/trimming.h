// Paper cut on a table: what a plan really leaves, and what cutting costs without one. Knows nothing but rectangles.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/sheet/cutting.h"

namespace sherdmark::testing {

struct Trimmed {
  int strokes = 0;
  std::vector<std::string> faults;  // labels cut through, not cut out, not on their own
  std::vector<std::size_t> order;   // labels as they fall off: stroke after stroke, of a gang the top strip first
};

// Follows the steps stroke by stroke, fence by fence, on sheets that hold the labels.
[[nodiscard]] Trimmed follow(const CuttingPlan& plan, const Placements& placements, const Trimmer& trimmer);

// Strokes of a plain grid, every cell as large as the largest label with gaps between, cut label by label: two strokes
// for each row and two for each label.
[[nodiscard]] int strokes_of_plain_grid(const Placements& placements, const SheetStock& stock);

}  // namespace sherdmark::testing
