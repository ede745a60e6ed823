// What labels are printed on: cut sheets, die-cut sheets, rolls and strips, with what may not be printed on.
// Values of a house standard (docs/house-standard.md, "Stocks"), already validated. Lengths in mm.
#pragma once

#include <string>
#include <vector>

namespace sherdmark {

enum class StockKind {
  sheet,    // labels lie edge to edge and are cut apart
  die_cut,  // a sheet of labels that are cut already, on a grid
  roll,     // endless; one label a page, its width across the roll
  strip     // endless; one label a page, its height across the strip
};

// Part of a label on which nothing may be printed, from the label's top left corner; the clear paper round it is
// already part of it.
struct StockZone {
  std::string what;  // "hole", "fold"
  double x_mm = 0;
  double y_mm = 0;
  double w_mm = 0;
  double h_mm = 0;
};

struct SheetStock {
  std::string name;              // "letter", "a4"
  double width_mm = 215.9;       // strip: its width is the page's height
  double height_mm = 279.4;      // 0 for roll and strip
  double margin_left_mm = 6.35;  // what the printer cannot or should not print
  double margin_right_mm = 6.35;
  double margin_top_mm = 6.35;
  double margin_bottom_mm = 6.35;
  std::string material;  // generic words: "acid-free paper, 100 % cotton"
  StockKind kind = StockKind::sheet;
  bool wet_safe = false;    // survives a damp bag
  double tolerance_mm = 0;  // how far the print may lie beside the label; kept free along its edges
  std::vector<StockZone> zones;
  // die-cut only
  int columns = 0;
  int rows = 0;
  double label_width_mm = 0;
  double label_height_mm = 0;
  double first_left_mm = 0;  // top left corner of the first label on the sheet
  double first_top_mm = 0;
  double pitch_x_mm = 0;  // left edge to left edge
  double pitch_y_mm = 0;
};

}  // namespace sherdmark
