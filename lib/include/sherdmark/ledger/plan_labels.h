// Items, bags and the house standard → which labels, and why. Pure: reads a ledger, changes nothing.
// Called by the tool before Ledger::store_plan; what is stored there is what is printed later.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/ledger/ledger.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {

// One decision per item, artifact labels with their copies bag by bag, and a bag label and a tag for every active bag.
// A bag that holds anything with a care flag gets no label at all; Plan::withheld names it.
struct Plan {
  LabelPlan labels;
  std::vector<std::string> withheld;  // bag ids
  std::vector<std::string> warnings;  // whole sentences: a number whose scheme has no part for pieces, …
};
[[nodiscard]] Plan plan_labels(const Ledger& ledger);

// True when a bag holds anything with a care flag: no label, no picture, no draw.
[[nodiscard]] bool is_withheld(const Ledger& ledger, const std::string& bag);

// `labels` split over bags that hold `quantities` pieces, in proportion (largest remainder, earlier bags first on a
// tie), never more than a bag holds. Unknown quantities (negative) share equally what the known ones leave.
[[nodiscard]] std::vector<std::int64_t> share_out(std::int64_t labels, const std::vector<std::int64_t>& quantities);

// The `index`-th piece (from 1) of an item, by the scheme's part for pieces. std::nullopt: no such part, or used up.
[[nodiscard]] std::optional<Number> piece_number(const Scheme& scheme, const Number& item, std::int64_t index);

// What an artifact label says: the number, and its check character when the standard prints one.
[[nodiscard]] std::string artifact_text(const HouseStandard& standard, const Number& number);

// The stored text of a carrier label (one "name: text" line a field) ↔ its fields.
[[nodiscard]] std::string write_carrier_text(const std::vector<CarrierField>& fields);
[[nodiscard]] std::vector<CarrierField> read_carrier_text(std::string_view text);

}  // namespace sherdmark
