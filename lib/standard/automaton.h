// All numbers of a scheme as one acyclic automaton over code points. The strict arcs spell exactly the canonical
// texts; the kind arcs are what `parse` may put right between and at the start of stretches (spaces, zeros, hyphens).
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "fragment.h"
#include "sherdmark/standard/scheme.h"

namespace sherdmark {

enum class Correction {
  letter_case,
  lookalike,
  typographic,
  blank_dropped,
  zero_dropped,
  zero_added,
  punctuation_dropped,
  punctuation_added
};

struct NumberAutomaton {
  struct Arc {
    char32_t character = 0;
    int to = 0;
    int part = -1;  // index of the part the character belongs to; -1: separator
  };
  struct KindArc {
    char32_t consume = 0;  // 0 none, ' ' any blank, '-' any dash, '0' a zero
    char32_t emit = 0;     // 0 none
    int to = 0;
    int part = -1;
    Correction why = Correction::blank_dropped;
  };
  struct State {
    std::vector<Arc> arcs;  // sorted by character; two arcs may share a character
    std::vector<KindArc> kind_arcs;
    int ends_after = -1;      // index of the last part when a whole number may end here
    bool break_here = false;  // a printed line may end before the next character
  };
  std::vector<State> states;  // 0 is the start
};

// Throws data_error when the automaton would be too large.
[[nodiscard]] NumberAutomaton build_automaton(const std::vector<SchemePart>& parts, const std::string& scheme);

// The texts of the parts for an exactly canonical text, each way it can be read (at most `most`).
struct Spelling {
  std::vector<std::u32string> parts;
};
[[nodiscard]] std::vector<Spelling> exact_spellings(const NumberAutomaton& automaton, std::u32string_view text,
                                                    std::size_t most = 1);

// How long each part of the first of them is, in bytes of UTF-8, and how many there are; 0 when the text is not
// canonical. What a catalog of 100,000 rows asks for each: it allocates nothing.
using PartLengths = std::array<std::uint16_t, k_most_number_parts>;
[[nodiscard]] std::size_t spell_exactly(const NumberAutomaton& automaton, std::u32string_view text,
                                        PartLengths& lengths);

// A text that can be read in two ways, if there is one.
[[nodiscard]] std::optional<std::u32string> ambiguous_text(const NumberAutomaton& automaton, const std::string& scheme);

// The longest text; among equals the one with the widest capitals.
[[nodiscard]] std::u32string longest_text(const NumberAutomaton& automaton);

}  // namespace sherdmark
