#include "sherdmark/sheet/carrier_code_place.h"

#include <algorithm>

namespace sherdmark {
namespace {

constexpr double k_padding_share = 0.045;  // of the label's width
constexpr double k_least_padding_mm = 2.8;
constexpr double k_most_padding_mm = 4.5;
constexpr double k_code_share = 0.42;       // of the label's height, first tried
constexpr double k_most_code_share = 0.62;  // of the label's height and of its width, when it must

}  // namespace

double carrier_padding_mm(const CarrierDesign& design) {
  return std::clamp(design.width_mm * k_padding_share, k_least_padding_mm, k_most_padding_mm);
}

std::optional<CarrierCodePlace> place_carrier_code(const SymbolMatrix& code, const CarrierDesign& design, int dpi) {
  auto size = fit_module(code, design.height_mm * k_code_share, design.module_mm, dpi);
  if (!size) {
    const ModuleSize least = smallest_module(code, design.module_mm, dpi);
    if (least.size_mm > k_most_code_share * std::min(design.height_mm, design.width_mm)) return std::nullopt;
    size = least;
  }
  const double quiet = code.quiet_zone_modules * size->module_mm;
  const double edge = std::max(0.0, carrier_padding_mm(design) - quiet);  // dark modules in line with the text's edge
  return CarrierCodePlace{*size, design.width_mm - edge - size->size_mm, edge};
}

}  // namespace sherdmark
