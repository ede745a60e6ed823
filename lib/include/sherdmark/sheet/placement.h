// Where every label lies on every page: the bridge between drawing, cutting, the ledger and the tests.
// JSON form: docs/formats/placements.md. Lengths in mm, origin top left of the page, y down, before printer correction.
#pragma once

#include <string>
#include <string_view>

#include "sherdmark/base/files.h"
#include "sherdmark/sheet/placed_labels.h"

namespace sherdmark {

// What comes off the trimmer in bench order when artifact labels are cut by their list: strip after strip by its first
// label; lot after lot, in each the labels of odd sizes last; or label after label.
enum class CutOrder { strips, lots, labels };
[[nodiscard]] std::string_view to_text(CutOrder order);  // "strips", "lots", "labels"

struct Placements {
  std::string run;
  double page_width_mm = 0;
  double page_height_mm = 0;
  int dpi = 600;
  int pages = 0;
  PlacedLabels labels;
  CutOrder order = CutOrder::strips;
  double least_widths_mm = 0;  // of artifact labels, together, as their texts need them; 0: not known
};

// Label by label, so that a long run takes no more memory than a short one.
void write_placements_json(const Placements& placements, const ByteSink& sink);
[[nodiscard]] std::string write_placements_json(const Placements& placements);
// Throws data_error naming the file and what is missing.
[[nodiscard]] Placements read_placements_json(std::string_view json, const std::string& file_name);

}  // namespace sherdmark
