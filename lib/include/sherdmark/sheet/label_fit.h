// How large an artifact label may be on its object, and the lines, the breaks and the size of type that follow.
// Called by the planner, which must not plan what will not fit, and by the layout, which must draw what was planned.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sherdmark/sheet/sheets.h"

namespace sherdmark {

struct ArtifactLabelFit {
  bool fits = true;
  double size_pt = 0;
  std::vector<std::string> lines;
  LabelSize size;  // as small as it can be cut; when nothing fits, the smallest label that would do
  double allowed_mm =
      0;  // for its longer side; 0: the object was not measured and the label is as the standard likes it
  bool as_usual = true;  // the standard's own size and breaks
  std::string reason;    // one sentence: why this size, or why none
};

// The standard's size and breaks if they are short enough; else more lines at the same size, the fewest that do; else
// the same at a quarter point less, down to the smallest size allowed. A micro-code counts with the text.
[[nodiscard]] ArtifactLabelFit fit_artifact_label(const Number& number, std::optional<double> largest_mm,
                                                  const HouseStandard& standard, const Typeface& face);

}  // namespace sherdmark
