// A catalog row as named fields of text: what a diff compares and shows.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/ledger/intake.h"

namespace sherdmark {

// True when the rows say the same about the item; numbers and row positions are not compared.
[[nodiscard]] bool same_content(const CatalogRow& before, const CatalogRow& after);

// Every field that differs, in the order of the catalog's fields, extra columns last.
[[nodiscard]] std::vector<FieldChange> changed_fields(const CatalogRow& before, const CatalogRow& after,
                                                      const HouseStandard& standard);

// Whether a label with these design fields shows the catalog's field. `artifact labels` show none but the number.
[[nodiscard]] bool design_shows(const CarrierDesign& design, std::string_view catalog_field);

}  // namespace sherdmark
