// Items, bags and the house standard → which labels, and why. Pure: reads a ledger, changes nothing.
// Called by the tool before Ledger::store_plan; what is stored there is what is printed later.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "sherdmark/ledger/ledger.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {

// An artifact label that is not as usual, because its object is small: smaller type, more lines.
struct FittedLabel {
  std::string number;
  double size_pt = 0;
  std::vector<std::string> lines;
  LabelSize size;
  std::string reason;
};

struct Plan {
  LabelPlan labels;
  std::vector<FittedLabel> fitted;
  std::vector<std::string> withheld;  // bag ids
  std::vector<std::string> warnings;  // whole sentences: a number whose scheme has no part for pieces, …
};
// One decision per item, artifact labels with their copies bag by bag, and a bag label and a tag for every active bag.
// A bag that holds anything with a care flag gets no label at all; Plan::withheld names it.
// An item whose every label would be too large for it gets a tag only, with the smallest label that would do.
// Throws environment_error when an item was measured and the artifact font is missing.
[[nodiscard]] Plan plan_labels(const Ledger& ledger);

// What the label rules look at, from a catalog row.
[[nodiscard]] RuleSubject rule_subject(const CatalogRow& row);
// The numbers that artifact labels of these rows would carry, each once, before anything is planned.
[[nodiscard]] std::vector<std::string> label_numbers(const HouseStandard& standard, std::span<const CatalogRow> rows);

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
