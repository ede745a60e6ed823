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

struct ArtifactLabelShape {
  std::vector<std::string> lines;
  LabelSize size;
  std::optional<SymbolMatrix> code;
  std::string code_text;
  int module_dots = 0;
};

[[nodiscard]] ArtifactLabelShape shape_artifact_label(const ArtifactLabelRequest& request,
                                                      const HouseStandard& standard, const Typeface& face);

// The code's place on a label whose top left corner is given: on the printer's dots.
[[nodiscard]] PlacedCode place_micro_code(const ArtifactLabelShape& shape, PointMm label, double label_height_mm,
                                          const ArtifactLabelDesign& design, const Typeface& face, int dpi);

void draw_artifact_label(Canvas& canvas, const PlacedLabel& label, const ArtifactLabelDesign& design,
                         const Typeface& face);

// The module matrix that a placed micro-code stands for.
[[nodiscard]] SymbolMatrix micro_code_symbol(SymbolFormat format, const std::string& text);

}  // namespace sherdmark
