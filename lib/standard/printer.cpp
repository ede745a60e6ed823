#include "sherdmark/standard/printer.h"

#include <algorithm>

#include "sherdmark/base/units.h"

namespace sherdmark {

HouseStandard for_printer(HouseStandard standard, const PrinterDescription& printer) {
  const double toner_spread_mm = standard.printer.toner_spread_mm;
  standard.printer = printer;
  standard.printer.toner_spread_mm = toner_spread_mm;
  const double least_mm = dots_to_mm(printer.least_module_dots, printer.dpi);
  for (CarrierDesign* design : {&standard.bag, &standard.tag, &standard.box, &standard.shelf, &standard.field_tag,
                                &standard.removal_slip, &standard.card})
    design->module_mm = std::max(design->module_mm, least_mm);
  standard.artifact.micro_module_mm = std::max(standard.artifact.micro_module_mm, least_mm);
  return standard;
}

}  // namespace sherdmark
