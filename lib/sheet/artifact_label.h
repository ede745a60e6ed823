// One artifact label: its lines, its size, its code and its drawing. Geometry: sherdmark/sheet/label_geometry.h.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "sherdmark/sheet/canvas.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {

// Codes begin on every second dot, so that a scan or a picture at half the printer's resolution shows whole modules
// too.
inline constexpr int k_code_grid_dots = 2;
[[nodiscard]] double snap_code(double mm, int dpi);

struct MicroCodeShape {
  SymbolMatrix symbol;
  std::string text;
};
// Nothing when the standard prints none. Throws data_error when the number does not fit it.
[[nodiscard]] std::optional<MicroCodeShape> micro_code_of(const Number& number, const HouseStandard& standard);

struct ArtifactLabelShape {
  double size_pt = 0;
  double most_mm = 0;  // longest side that the object allows; 0: any
  std::vector<std::string> lines;
  LabelSize size;
  std::optional<SymbolMatrix> code;
  std::string code_text;
  int module_dots = 0;
};

// Throws data_error when the object is too small for any label that the standard allows.
[[nodiscard]] ArtifactLabelShape shape_artifact_label(const ArtifactLabelRequest& request,
                                                      const HouseStandard& standard, const Typeface& face);

// Where the code lies on its label, from the left edge, before it moves to the printer's dots (snap_code); it is in the
// middle of the height. Only for a shape with a code.
struct MicroCodePlace {
  double x_mm = 0;
  double size_mm = 0;  // with its quiet zone
};
[[nodiscard]] MicroCodePlace micro_code_place(const ArtifactLabelShape& shape, const ArtifactLabelDesign& design,
                                              const Typeface& face, int dpi);

void draw_artifact_label(Canvas& canvas, const PlacedLabel& label, const ArtifactLabelDesign& design,
                         const Typeface& face);

// The module matrix that a placed micro-code stands for.
[[nodiscard]] SymbolMatrix micro_code_symbol(SymbolFormat format, const std::string& text);

}  // namespace sherdmark
