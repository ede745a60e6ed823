// Whether labels can be drawn by a house standard, tried before there is one: when a ledger is made, and when an
// edition is adopted. A ledger that carries a standard which fails here still opens.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/standard/house_standard.h"

namespace sherdmark {

// Draws a sheet of every role in memory. Throws environment_error when a font is missing; data_error, with `file` and
// the role, when not even a short number's label or the head of its sheet can be drawn, or when numbers can have
// characters that cannot be printed one after the other from left to right. Returns a sentence for each role and
// scheme whose longest number would be refused: such numbers may never come.
[[nodiscard]] std::vector<std::string> try_standard(const HouseStandard& standard, const std::string& file);

}  // namespace sherdmark
