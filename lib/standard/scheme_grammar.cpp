// The automaton made deterministic (subset construction) and minimal (partition from the ends: it has no cycles).
#include <algorithm>
#include <functional>
#include <map>
#include <tuple>

#include "automaton.h"
#include "sherdmark/standard/scheme.h"

namespace sherdmark {
namespace {

using Subset = std::vector<int>;

struct RawState {
  std::map<char32_t, int> arcs;
  bool accepting = false;
  bool may_break = false;
};

std::vector<RawState> determinise(const NumberAutomaton& automaton, const std::function<bool(int)>& counts) {
  std::vector<RawState> result;
  std::map<Subset, int> known{{Subset{0}, 0}};
  std::vector<Subset> queue{Subset{0}};
  for (std::size_t i = 0; i < queue.size(); ++i) {
    RawState raw;
    std::map<char32_t, Subset> next;
    for (const int member : queue[i]) {
      const NumberAutomaton::State& state = automaton.states[static_cast<std::size_t>(member)];
      raw.accepting = raw.accepting || (state.ends_after >= 0 && counts(state.ends_after));
      raw.may_break = raw.may_break || state.break_here;
      for (const NumberAutomaton::Arc& arc : state.arcs) next[arc.character].push_back(arc.to);
    }
    for (auto& [character, subset] : next) {
      std::sort(subset.begin(), subset.end());
      subset.erase(std::unique(subset.begin(), subset.end()), subset.end());
      const auto [entry, is_new] = known.try_emplace(subset, static_cast<int>(queue.size()));
      raw.arcs[character] = entry->second;
      if (is_new) queue.push_back(subset);
    }
    result.push_back(std::move(raw));
  }
  return result;
}

void add_check_character(std::vector<RawState>& states) {
  const int end = static_cast<int>(states.size()) + 1;
  RawState before;
  for (char32_t c = U'0'; c <= U'9'; ++c) before.arcs[c] = end;
  for (char32_t c = U'A'; c <= U'Z'; ++c) before.arcs[c] = end;
  for (RawState& state : states) {
    if (!state.accepting) continue;
    state.accepting = false;
    state.arcs[static_cast<char32_t>(k_check_separator)] = end - 1;
  }
  states.push_back(std::move(before));
  states.push_back({{}, true, false});
}

// Merges states with the same future, drops those without one, and numbers them from the start.
class Minimiser {
 public:
  explicit Minimiser(const std::vector<RawState>& raw) : raw_(raw), merged_(raw.size(), k_unknown) {}

  std::vector<NumberGrammar::State> minimise() {
    if (merge(0) == k_dead) return {};
    // merge() numbers from the ends; turn round so that the start comes first.
    const int last = static_cast<int>(states_.size()) - 1;
    std::reverse(states_.begin(), states_.end());
    for (NumberGrammar::State& state : states_)
      for (NumberGrammar::Arc& arc : state.arcs) arc.to = last - arc.to;
    return std::move(states_);
  }

 private:
  static constexpr int k_unknown = -2;
  static constexpr int k_dead = -1;
  using Signature = std::tuple<bool, bool, std::vector<std::pair<char32_t, int>>>;

  int merge(int state) {
    int& result = merged_[static_cast<std::size_t>(state)];
    if (result != k_unknown) return result;
    const RawState& raw = raw_[static_cast<std::size_t>(state)];
    Signature signature{raw.accepting, raw.may_break, {}};
    auto& arcs = std::get<2>(signature);
    for (const auto& [character, to] : raw.arcs)
      if (const int target = merge(to); target != k_dead) arcs.emplace_back(character, target);
    if (arcs.empty() && !raw.accepting) return result = k_dead;
    const auto [entry, is_new] = known_.try_emplace(signature, static_cast<int>(states_.size()));
    if (is_new) {
      NumberGrammar::State made;
      for (const auto& [character, to] : arcs) made.arcs.push_back({character, to});
      made.accepting = raw.accepting;
      made.may_break = raw.may_break;
      states_.push_back(std::move(made));
    }
    return result = entry->second;
  }

  const std::vector<RawState>& raw_;
  std::vector<int> merged_;
  std::map<Signature, int> known_;
  std::vector<NumberGrammar::State> states_;
};

}  // namespace

NumberGrammar Scheme::grammar(NumberLevel level, bool check_character) const {
  const auto counts = [this, level](int last_part) {
    return parts_[static_cast<std::size_t>(last_part)].level >= level;
  };
  std::vector<RawState> states = determinise(*automaton_, counts);
  if (check_character) add_check_character(states);
  return {Minimiser{states}.minimise(), check_character};
}

}  // namespace sherdmark
