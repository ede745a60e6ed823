#include "sherdmark/sheet/carrier_code_place.h"

#include <algorithm>

namespace sherdmark {
namespace {

constexpr double k_padding_share = 0.045;  // of the area's width
constexpr double k_least_padding_mm = 2.8;
constexpr double k_most_padding_mm = 4.5;
constexpr double k_most_code_share = 0.62;  // of the area's height and of its width, when it must

}  // namespace

CarrierArea carrier_area(const CarrierDesign& design) {
  return {design.inset_left_mm, design.inset_top_mm, design.width_mm - design.inset_left_mm - design.inset_right_mm,
          design.height_mm - design.inset_top_mm - design.inset_bottom_mm};
}

double carrier_padding_mm(const CarrierDesign& design) {
  return std::clamp(carrier_area(design).w_mm * k_padding_share, k_least_padding_mm, k_most_padding_mm);
}

std::optional<CarrierCodePlace> place_carrier_code(const SymbolMatrix& code, const CarrierDesign& design, int dpi) {
  const CarrierArea area = carrier_area(design);
  auto size = fit_module(code, area.h_mm * design.code_share, design.module_mm, dpi);
  if (!size) {
    const ModuleSize least = smallest_module(code, design.module_mm, dpi);
    const double most = std::max(k_most_code_share, design.code_share);
    if (least.size_mm > most * area.h_mm || least.size_mm > k_most_code_share * area.w_mm) return std::nullopt;
    size = least;
  }
  const double quiet = code.quiet_zone_modules * size->module_mm;
  const double edge = std::max(0.0, carrier_padding_mm(design) - quiet);  // dark modules in line with the text's edge
  return CarrierCodePlace{*size, area.x_mm + area.w_mm - edge - size->size_mm, area.y_mm + edge};
}

}  // namespace sherdmark
