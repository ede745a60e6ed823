#include "scan/label_text_grammar.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

namespace sherdmark::label_text {
namespace {

// A text whose cost exceeds the cheapest at the same column by more is not followed: in units of a mean glyph's ink.
constexpr double k_beam = 3.0;

struct Step {
  double cost = 0;
  int before = -1;  // index into steps, -1: the start
  int glyph = 0;
  int origin_state = 0;  // of texts that begin here: index into `from` and of its text
  int origin_text = 0;
};

struct Column {
  std::vector<int> states;               // that are reached
  std::vector<std::vector<int>> ranked;  // for each, steps cheapest first
  std::vector<int> slots;                // of a state; empty until the column is reached
  double cheapest = std::numeric_limits<double>::infinity();
};

class LineDecoder {
 public:
  LineDecoder(const LabelAutomaton& automaton, const LineCosts& line, int most_texts)
      : automaton_{automaton}, line_{line}, most_{static_cast<std::size_t>(most_texts)} {
    columns_.resize(static_cast<std::size_t>(line.length_columns + line.tolerance_columns) + 1);
  }

  std::vector<StateTexts> run(const std::vector<StateTexts>& from) {
    for (std::size_t s = 0; s < from.size(); ++s)
      for (std::size_t t = 0; t < from[s].texts.size(); ++t)
        arrive(0, from[s].state, {from[s].texts[t].cost, -1, 0, static_cast<int>(s), static_cast<int>(t)});
    for (std::size_t x = 0; x < columns_.size(); ++x)
      for (std::size_t i = 0; i < columns_[x].states.size(); ++i) leave(static_cast<int>(x), i);
    return collect(from);
  }

 private:
  void arrive(int x, int state, const Step& step) {
    Column& column = columns_[static_cast<std::size_t>(x)];
    if (step.cost > column.cheapest + k_beam) return;
    column.cheapest = std::min(column.cheapest, step.cost);
    if (column.slots.empty()) column.slots.assign(automaton_.states.size(), -1);
    int& slot = column.slots[static_cast<std::size_t>(state)];
    if (slot < 0) {
      slot = static_cast<int>(column.states.size());
      column.states.push_back(state);
      column.ranked.emplace_back();
    }
    std::vector<int>& ranked = column.ranked[static_cast<std::size_t>(slot)];
    const auto cost_of = [this](int i) { return steps_[static_cast<std::size_t>(i)].cost; };
    if (ranked.size() >= most_ && cost_of(ranked.back()) <= step.cost) return;
    const int id = static_cast<int>(steps_.size());
    steps_.push_back(step);
    ranked.insert(
        std::upper_bound(ranked.begin(), ranked.end(), id, [&](int a, int b) { return cost_of(a) < cost_of(b); }), id);
    if (ranked.size() > most_) ranked.pop_back();
  }

  void leave(int x, std::size_t slot) {
    const Column& column = columns_[static_cast<std::size_t>(x)];
    const int state = column.states[slot];
    const std::vector<int> ranked = column.ranked[slot];
    if (steps_[static_cast<std::size_t>(ranked.front())].cost > column.cheapest + k_beam) return;
    for (const LabelAutomaton::Arc& arc : automaton_.states[static_cast<std::size_t>(state)].arcs) {
      const int next = x + line_.columns(arc.glyph);
      if (next >= static_cast<int>(columns_.size())) continue;
      const double cost = line_.cost(arc.glyph, x);
      for (const int id : ranked)
        arrive(next, arc.to, {steps_[static_cast<std::size_t>(id)].cost + cost, id, arc.glyph, 0, 0});
    }
  }

  [[nodiscard]] std::vector<StateTexts> collect(const std::vector<StateTexts>& from) const {
    std::vector<StateTexts> ends;
    const int first = std::max(1, line_.length_columns - line_.tolerance_columns);
    for (int x = first; x < static_cast<int>(columns_.size()); ++x) {
      const Column& column = columns_[static_cast<std::size_t>(x)];
      for (std::size_t i = 0; i < column.states.size(); ++i) {
        StateTexts end{column.states[i], {}};
        for (const int id : column.ranked[i]) end.texts.push_back(text_of(id, from));
        ends.push_back(std::move(end));
      }
    }
    return ends;
  }

  [[nodiscard]] ScoredText text_of(int id, const std::vector<StateTexts>& from) const {
    std::vector<int> backwards;
    const Step* step = &steps_[static_cast<std::size_t>(id)];
    const double cost = step->cost;
    while (step->before >= 0) {
      backwards.push_back(step->glyph);
      step = &steps_[static_cast<std::size_t>(step->before)];
    }
    ScoredText text =
        from[static_cast<std::size_t>(step->origin_state)].texts[static_cast<std::size_t>(step->origin_text)];
    text.glyphs.insert(text.glyphs.end(), backwards.rbegin(), backwards.rend());
    text.cost = cost;
    return text;
  }

  const LabelAutomaton& automaton_;
  const LineCosts& line_;
  std::size_t most_;
  std::vector<Column> columns_;
  std::vector<Step> steps_;
};

}  // namespace

LabelAutomaton make_automaton(const HouseStandard& standard) {
  LabelAutomaton all;
  std::set<char32_t> characters;
  std::vector<NumberGrammar> grammars;
  for (const Scheme& scheme : standard.schemes) {
    grammars.push_back(scheme.grammar(NumberLevel::item, standard.artifact.check_character));
    for (const NumberGrammar::State& state : grammars.back().states)
      for (const NumberGrammar::Arc& arc : state.arcs) characters.insert(arc.character);
  }
  all.characters.assign(characters.begin(), characters.end());
  for (std::size_t g = 0; g < grammars.size(); ++g) {
    const int offset = static_cast<int>(all.states.size());
    if (!grammars[g].states.empty()) all.starts.push_back(offset);
    for (const NumberGrammar::State& state : grammars[g].states) {
      LabelAutomaton::State copy{{}, state.accepting, state.may_break, static_cast<int>(g)};
      for (const NumberGrammar::Arc& arc : state.arcs)
        copy.arcs.push_back({static_cast<int>(all.characters.find(arc.character)), arc.to + offset});
      if (state.may_break) all.line_starts.push_back(static_cast<int>(all.states.size()));
      all.states.push_back(std::move(copy));
    }
  }
  all.line_starts.insert(all.line_starts.begin(), all.starts.begin(), all.starts.end());
  return all;
}

std::vector<std::vector<int>> split_lines(const std::vector<int>& glyphs) {
  std::vector<std::vector<int>> lines(1);
  for (const int glyph : glyphs) {
    if (glyph == k_line_end)
      lines.emplace_back();
    else
      lines.back().push_back(glyph);
  }
  return lines;
}

std::vector<StateTexts> decode_line(const LabelAutomaton& automaton, const std::vector<StateTexts>& from,
                                    const LineCosts& line, int most_texts) {
  return LineDecoder{automaton, line, most_texts}.run(from);
}

}  // namespace sherdmark::label_text
