// A house standard for one printer: what follows from its description. Called by the parser for the standard's own
// printer and by the tools for one that was calibrated.
#pragma once

#include "sherdmark/standard/house_standard.h"

namespace sherdmark {

// The description in place of the standard's, and no code with a module under its least number of dots. The toner's
// spread stays the standard's: a calibration does not measure it.
[[nodiscard]] HouseStandard for_printer(HouseStandard standard, const PrinterDescription& printer);

}  // namespace sherdmark
