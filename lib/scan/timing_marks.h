// Where the modules of a broken side of a Data Matrix symbol stand (ISO/IEC 16022: dark and light in turn), when the
// label is so bent that they are not evenly far from each other. Private to the layer.
#pragma once

#include <vector>

#include "scan/module_grid.h"

namespace sherdmark {

enum class BrokenSide { top, right };

// The borders between modules along that side, first to last, in shares of its length between the corners of `view`;
// one more than there are modules. Of all borders that lie in order, with widths that change little from one module to
// the next, those that fit the dark and the light best.
[[nodiscard]] std::vector<double> timing_marks(const GreyView& picture, const Perspective& view, const GridShape& shape,
                                               BrokenSide side, double threshold);

}  // namespace sherdmark
