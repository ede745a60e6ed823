// What a bag label or a tag says. Restricted columns never come here (docs/formats/ledger.md, column classes).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "sherdmark/ledger/ledger.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {

struct BagLine {  // one item in the bag
  const ItemRecord* item = nullptr;
  std::optional<std::int64_t> quantity;
  std::string caution;
};

// The number shown large: the item's, the lot's where a bag stands for a whole lot, else the bag's own id; the id too
// where the site is sensitive.
[[nodiscard]] std::string carrier_number(const HouseStandard& standard, const BagRecord& bag,
                                         const std::vector<BagLine>& contents);

// The design's fields that have something to say, in the design's order; "number" is drawn large and not among them.
[[nodiscard]] std::vector<CarrierField> carrier_fields(const HouseStandard& standard, const CarrierDesign& design,
                                                       const BagRecord& bag, const std::vector<BagLine>& contents);

// One restricted column of those that a label field shows keeps the whole field home.
[[nodiscard]] bool shows_restricted(const HouseStandard& standard, const std::string& field);

}  // namespace sherdmark
