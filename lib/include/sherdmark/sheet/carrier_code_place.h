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

// Room kept along the edges of a bag label or tag.
[[nodiscard]] double carrier_padding_mm(const CarrierDesign& design);

}  // namespace sherdmark
