// What the parts of a scheme must hold before numbers can be built of them.
#pragma once

#include <string>
#include <vector>

#include "automaton.h"
#include "sherdmark/standard/scheme.h"

namespace sherdmark {

inline constexpr std::size_t k_longest_number = 128;  // code points of a canonical number

// Both throw data_error, naming the scheme and the part.
void check_parts(const std::string& scheme, const std::vector<SchemePart>& parts);
void check_unambiguous(const NumberAutomaton& automaton, const std::string& scheme,
                       const std::vector<SchemePart>& parts);

}  // namespace sherdmark
