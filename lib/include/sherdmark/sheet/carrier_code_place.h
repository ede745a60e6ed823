// Where the code stands on a bag label or tag: fixed by the design and the code alone, so that whoever sees the code
// knows where the paper ends.
#pragma once

#include <optional>

#include "sherdmark/code/symbol.h"
#include "sherdmark/standard/house_standard.h"

namespace sherdmark {

struct CarrierCodePlace {
  ModuleSize size;
  double x_mm = 0;  // top left of the symbol with its quiet zone, from the label's top left corner
  double y_mm = 0;
};

// std::nullopt: the code does not fit the design.
[[nodiscard]] std::optional<CarrierCodePlace> place_carrier_code(const SymbolMatrix& code, const CarrierDesign& design,
                                                                 int dpi);

// The part of the label that may be printed on: without holes, folds and the stock's tolerance. From its top left
// corner.
struct CarrierArea {
  double x_mm = 0;
  double y_mm = 0;
  double w_mm = 0;
  double h_mm = 0;
};
[[nodiscard]] CarrierArea carrier_area(const CarrierDesign& design);

// Room kept along the edges of that area.
[[nodiscard]] double carrier_padding_mm(const CarrierDesign& design);

}  // namespace sherdmark
