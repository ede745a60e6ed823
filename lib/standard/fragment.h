// Small acyclic automata for one stretch of a number: an integer in a range, letters, one of a list, a literal.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace sherdmark {

struct Fragment {
  struct State {
    std::map<char32_t, int> arcs;
    bool accepting = false;
  };
  std::vector<State> states;  // state 0 is the start and has no arc into it
  bool integer = false;       // leading zeros may be left out or put back when a person wrote it otherwise
};

// Every integer of smallest … largest in exactly one spelling: padded with zeros to `pad_to_digits`, no further
// leading zeros. The automaton is minimal. 0 <= smallest <= largest <= 10^15.
[[nodiscard]] Fragment integer_fragment(std::int64_t smallest, std::int64_t largest, int pad_to_digits);

// shortest … longest characters of the alphabet.
[[nodiscard]] Fragment repeat_fragment(std::u32string_view alphabet, int shortest, int longest);

[[nodiscard]] Fragment choice_fragment(const std::vector<std::u32string>& choices);

}  // namespace sherdmark
