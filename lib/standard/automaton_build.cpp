#include <fmt/format.h>

#include <algorithm>

#include "automaton.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "trinomial.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_most_states = 20'000;

class Builder {
 public:
  Builder(const std::vector<SchemePart>& parts, const std::string& scheme) : parts_(parts), scheme_(scheme) {}

  NumberAutomaton build() {
    std::vector<int> open{fresh()};
    for (std::size_t i = 0; i < parts_.size(); ++i) {
      open = parts_[i].kind == PartKind::trinomial ? add_trinomial(open, static_cast<int>(i))
                                                   : add_plain(open, static_cast<int>(i));
      const bool may_end = std::all_of(parts_.begin() + static_cast<std::ptrdiff_t>(i) + 1, parts_.end(),
                                       [](const SchemePart& part) { return part.optional; });
      if (may_end)
        for (const int state : open) at(state).ends_after = static_cast<int>(i);
    }
    for (NumberAutomaton::State& state : automaton_.states)
      std::sort(state.arcs.begin(), state.arcs.end(), [](const auto& a, const auto& b) {
        return std::pair{a.character, a.to} < std::pair{b.character, b.to};
      });
    return std::move(automaton_);
  }

 private:
  struct Join {
    std::u32string separator;
    bool within_part = false;  // inside a trinomial: hyphens are the writer's taste
  };

  NumberAutomaton::State& at(int state) { return automaton_.states[static_cast<std::size_t>(state)]; }

  int fresh() {
    if (automaton_.states.size() >= k_most_states)
      throw data_error(fmt::format("The scheme \"{}\" allows too many different numbers to work with.", scheme_), {},
                       "Shorten its lists, lengths or alphabets.");
    automaton_.states.emplace_back();
    return static_cast<int>(automaton_.states.size()) - 1;
  }

  std::vector<int> add_plain(const std::vector<int>& open, int part) {
    return append(open, {wide(parts_[index(part)].separator), false}, fragment_of(parts_[index(part)]), part);
  }

  std::vector<int> add_trinomial(const std::vector<int>& open, int part) {
    std::vector<int> ends;
    for (const std::vector<TrinomialStretch>& form : trinomial_forms(parts_[index(part)])) {
      std::vector<int> reached = open;
      bool first = true;
      for (const TrinomialStretch& stretch : form) {
        const Join join = first ? Join{wide(parts_[index(part)].separator), false} : Join{stretch.separator, true};
        reached = append(reached, join, stretch.fragment, part);
        if (stretch.may_end_after) ends.insert(ends.end(), reached.begin(), reached.end());
        first = false;
      }
    }
    return ends;
  }

  // Adds one stretch after the open states; returns the states in which it may end.
  std::vector<int> append(const std::vector<int>& open, const Join& join, const Fragment& fragment, int part) {
    const int first = static_cast<int>(automaton_.states.size());
    for (std::size_t i = 0; i < fragment.states.size(); ++i) fresh();
    std::vector<int> ends;
    for (std::size_t i = 0; i < fragment.states.size(); ++i) {
      const int state = first + static_cast<int>(i);
      for (const auto& [character, to] : fragment.states[i].arcs)
        at(state).arcs.push_back({character, first + to, part});
      if (fragment.states[i].accepting) ends.push_back(state);
    }
    at(first).kind_arcs.push_back({U' ', 0, first, part, Correction::blank_dropped});
    if (fragment.integer) allow_zeros(first, part);
    if (join.separator.empty()) {
      for (const int from : open) join_directly(from, first, join, part);
    } else {
      join_by_separator(open, first, join, part);
    }
    return ends;
  }

  // Leading zeros too many are dropped, leading zeros too few are put back. The states that zeros lead to may be
  // shared with other digits, so the way by zeros put back runs over copies.
  void allow_zeros(int first, int part) {
    at(first).kind_arcs.push_back({U'0', 0, first, part, Correction::zero_dropped});
    for (int state = first;;) {
      int next = -1;
      for (const NumberAutomaton::Arc& arc : at(state).arcs)
        if (arc.character == U'0' && !at(arc.to).arcs.empty()) next = arc.to;
      if (next < 0) return;
      const int copy = fresh();
      at(copy).arcs = at(next).arcs;
      at(state).kind_arcs.push_back({0, U'0', copy, part, Correction::zero_added});
      state = copy;
    }
  }

  void join_directly(int from, int first, const Join& join, int part) {
    const NumberAutomaton::State start = at(first);
    NumberAutomaton::State& state = at(from);
    state.arcs.insert(state.arcs.end(), start.arcs.begin(), start.arcs.end());
    state.kind_arcs.insert(state.kind_arcs.end(), start.kind_arcs.begin(), start.kind_arcs.end());
    if (join.within_part) {
      for (const int place : {from, first})
        at(place).kind_arcs.push_back({U'-', 0, first, part, Correction::punctuation_dropped});
    }
  }

  void join_by_separator(const std::vector<int>& open, int first, const Join& join, int part) {
    const int owner = join.within_part ? part : -1;
    const int before = fresh();  // blanks were skipped: only the separator may follow
    at(before).kind_arcs.push_back({U' ', 0, before, owner, Correction::blank_dropped});
    int next = first;
    for (std::size_t i = join.separator.size(); i-- > 1;) {
      const int link = fresh();
      at(link).arcs.push_back({join.separator[i], next, owner});
      next = link;
    }
    std::vector<int> places = open;
    places.push_back(before);
    for (const int place : places) {
      at(place).arcs.push_back({join.separator[0], next, owner});
      if (place != before) at(place).kind_arcs.push_back({U' ', 0, before, owner, Correction::blank_dropped});
      if (join.within_part && join.separator.size() == 1)
        at(place).kind_arcs.push_back({0, join.separator[0], first, owner, Correction::punctuation_added});
    }
    at(first).break_here = !join.within_part;
  }

  static std::size_t index(int part) { return static_cast<std::size_t>(part); }
  static std::u32string wide(const std::string& text) { return decode_utf8(text).value_or(std::u32string{}); }

  static Fragment fragment_of(const SchemePart& part) {
    switch (part.kind) {
      case PartKind::year:
        return integer_fragment(part.smallest, part.largest, 4);
      case PartKind::integer:
        return integer_fragment(part.smallest, part.largest, part.pad_to_digits);
      case PartKind::one_of: {
        std::vector<std::u32string> choices;
        for (const std::string& choice : part.choices) choices.push_back(wide(choice));
        return choice_fragment(choices);
      }
      case PartKind::letters:
      case PartKind::free:
      case PartKind::trinomial:
        break;
    }
    return repeat_fragment(wide(part.alphabet), part.shortest, part.longest);
  }

  const std::vector<SchemePart>& parts_;
  const std::string& scheme_;
  NumberAutomaton automaton_;
};

}  // namespace

NumberAutomaton build_automaton(const std::vector<SchemePart>& parts, const std::string& scheme) {
  return Builder{parts, scheme}.build();
}

}  // namespace sherdmark
