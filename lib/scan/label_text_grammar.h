// All schemes of a standard as one automaton over glyphs, and the best texts it allows for measured costs.
// Private to the reader of artifact labels.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "sherdmark/standard/house_standard.h"

namespace sherdmark::label_text {

struct LabelAutomaton {
  struct Arc {
    int glyph = 0;  // index into `characters`
    int to = 0;
  };
  struct State {
    std::vector<Arc> arcs;
    bool accepting = false;
    bool may_break = false;
    int scheme = 0;
  };
  std::u32string characters;  // every character that a label can show
  std::vector<State> states;
  std::vector<int> starts;       // one for each scheme
  std::vector<int> line_starts;  // where any printed line may start: starts and the states after a break
};

[[nodiscard]] LabelAutomaton make_automaton(const HouseStandard& standard);

// The ways through the automaton found so far, cheapest first; glyph texts, lines joined by k_line_end.
inline constexpr int k_line_end = -1;
// The lines of such a text, without k_line_end.
[[nodiscard]] std::vector<std::vector<int>> split_lines(const std::vector<int>& glyphs);
struct ScoredText {
  std::vector<int> glyphs;
  double cost = 0;
};
struct StateTexts {
  int state = 0;
  std::vector<ScoredText> texts;
};

// One line: the cost of a glyph that starts at a column, the glyph's columns, and where the line ends.
struct LineCosts {
  int length_columns = 0;
  int tolerance_columns = 0;  // the line may end so far from its length
  std::function<double(int glyph, int column)> cost;
  std::function<int(int glyph)> columns;
};

// Texts that start in `from` and fill the line, for every state they end in; at most `most_texts` a state, distinct.
[[nodiscard]] std::vector<StateTexts> decode_line(const LabelAutomaton& automaton, const std::vector<StateTexts>& from,
                                                  const LineCosts& line, int most_texts);

}  // namespace sherdmark::label_text
