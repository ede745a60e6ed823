// Where every label lies on every page: the bridge between drawing, cutting, the ledger and the tests.
// JSON form: docs/formats/placements.md. Lengths in mm, origin top left of the page, y down, before printer correction.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/code/symbol.h"
#include "sherdmark/standard/label_role.h"

namespace sherdmark {

struct PlacedCode {
  SymbolFormat format = SymbolFormat::qr;
  std::string text;
  double x_mm = 0;       // top left of the symbol with its quiet zone
  double y_mm = 0;
  double size_mm = 0;    // with its quiet zone
  int modules = 0;       // per side, without quiet zone
  int module_dots = 0;
};

struct PlacedLabel {
  int page = 1;
  LabelRole role = LabelRole::artifact;
  std::string number;                 // canonical number; the bag id where a bag holds several
  std::optional<std::string> bag;
  std::optional<std::string> serial;
  int revision = 1;
  int copy = 1;                       // of those with the same text in this run, from 1
  double x_mm = 0;
  double y_mm = 0;
  double w_mm = 0;
  double h_mm = 0;
  std::vector<std::string> lines;     // artifact: the text lines as printed
  double font_pt = 0;
  std::optional<PlacedCode> code;
  int stack = 0;                      // over 0: cut together with all strips of this number, and then in working order
};

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
  std::vector<PlacedLabel> labels;
  CutOrder order = CutOrder::strips;
};

[[nodiscard]] std::string write_placements_json(const Placements& placements);
// Throws data_error naming the file and what is missing.
[[nodiscard]] Placements read_placements_json(std::string_view json, const std::string& file_name);

}  // namespace sherdmark
