// Cells that hold several things: bags with what they hold, flags, former numbers. Called by the row reader and the
// exporter, which must agree on the signs between them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/catalog/rows.h"

namespace sherdmark {

// "a; b; c". A line break or | divides too, and a comma with a space behind it. Blank parts are left out.
[[nodiscard]] std::vector<std::string> split_list(std::string_view text);

// "B7:120; B8:227", "B7 (120); B8 (227)" or just "B7". Empty `bags` and a `problem` with its remedy if it cannot be
// read, or if what stands as one bag may be two: "B1 and B2", "B1 & B2", "B1+B2", "B1,B2".
struct BagList {
  std::vector<BagShare> bags{};
  std::string problem{};
  std::string remedy{};
};
[[nodiscard]] BagList read_bags(std::string_view text);
[[nodiscard]] std::string write_bags(const std::vector<BagShare>& bags);

}  // namespace sherdmark
