// What a house standard demands of paper and codes before a single item is known: the longest number of each scheme,
// the symbol it needs and the smallest label that still holds it.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/code/symbol.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {

struct WorstCase {
  std::string scheme;
  std::string number;    // the longest of the scheme
  SymbolMatrix carrier;  // QR of a bag label or tag with that number
  ModuleSize bag_code;
  ModuleSize tag_code;
  MicroCodeChoice micro;           // what an artifact micro-code would need, printed or not
  std::vector<std::string> lines;  // of the artifact label
  LabelSize label;                 // with the micro-code if the standard prints one
};

// One for each scheme, in the standard's order. Throws environment_error when the artifact font is missing,
// data_error when a code does not fit its label.
[[nodiscard]] std::vector<WorstCase> worst_cases(const HouseStandard& standard);

}  // namespace sherdmark
