// Which labels share a strip, a size and a stroke: the least time at the trimmer, exactly.
//
// A strip is a row of cells of one size across the sheet. Strips with cells of the same size are squared up and cut
// together, up to `gang` of them. Labels fall in classes that share a cell: the largest of their least sizes. What a
// class costs depends on its cell and on how many labels it has, not on which; so, labels sorted by width, some best
// set of classes is a row of intervals, and dynamic programming finds it, as it finds the best strips and gangs of a
// class. Where labels differ in height too, classes of height are intervals likewise and those of width lie within
// them. A label may bound its cell (its object allows no larger one); an interval that breaks a bound is no class, and
// above the search the plan is then the best of those with intervals. Labels of one group (copies of a number) stay in
// one class and together.
#pragma once

#include <cstddef>
#include <limits>
#include <vector>

#include "sherdmark/standard/house_standard.h"

namespace sherdmark {

struct StripItem {  // a label in bench order, its least size
  double w_mm = 0;
  double h_mm = 0;
  std::size_t group = 0;                                     // equal for neighbours that must stay together
  double most_mm = std::numeric_limits<double>::infinity();  // no side of its cell may be longer
};

struct StripSpace {
  double width_mm = 0;   // for cells
  double height_mm = 0;  // of a page, for strips
};

struct PlannedStrip {
  double cell_w_mm = 0;
  double cell_h_mm = 0;
  std::size_t gang = 0;  // strips with the same number are cut together
  std::vector<std::size_t> items;
};

struct StripPlan {
  std::vector<PlannedStrip> strips;  // in the order of their first labels
  double seconds = 0;                // strokes, handling and paper; without the first cut of each page
};

// Every item must fit the space. Widths are rounded up to `quantum_mm` first (0: left alone). Up to `search_groups`
// groups every way to form classes is tried, so that the plan is the best there is whatever their sizes and copies;
// above, the intervals are.
inline constexpr std::size_t k_search_groups = 7;
[[nodiscard]] StripPlan plan_strips(const std::vector<StripItem>& items, const StripSpace& space,
                                    const Trimmer& trimmer, double quantum_mm,
                                    std::size_t search_groups = k_search_groups);

// What one gang costs: a stroke for each strip off the sheet and the strip's share of the paper; then, together, a
// stroke before the first cell and one after each cell.
[[nodiscard]] double gang_seconds(std::size_t strips, std::size_t cells, double strip_h_mm, const StripSpace& space,
                                  const Trimmer& trimmer);

}  // namespace sherdmark
