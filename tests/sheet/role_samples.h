// Labels of every role as the tool makes them, for tests: invented numbers and places.
#pragma once

#include <vector>

#include "sherdmark/sheet/sheets.h"

namespace sherdmark::testing {

[[nodiscard]] const std::vector<LabelRole>& carrier_roles();  // all but artifact
[[nodiscard]] std::vector<CarrierLabelRequest> role_samples(const HouseStandard& standard, LabelRole role, int count);

}  // namespace sherdmark::testing
