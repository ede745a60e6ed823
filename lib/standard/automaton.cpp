#include "automaton.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <tuple>
#include <unordered_map>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

using Arc = NumberAutomaton::Arc;
using State = NumberAutomaton::State;

const State& at(const NumberAutomaton& automaton, int state) {
  return automaton.states[static_cast<std::size_t>(state)];
}

// Arcs of a state that carry the character.
std::pair<std::vector<Arc>::const_iterator, std::vector<Arc>::const_iterator> arcs_for(const State& state,
                                                                                       char32_t character) {
  const auto first = std::lower_bound(state.arcs.begin(), state.arcs.end(), character,
                                      [](const Arc& arc, char32_t wanted) { return arc.character < wanted; });
  auto last = first;
  while (last != state.arcs.end() && last->character == character) ++last;
  return {first, last};
}

class Speller {
 public:
  Speller(const NumberAutomaton& automaton, std::u32string_view text, std::size_t most)
      : automaton_(automaton), text_(text), most_(most) {}

  std::vector<Spelling> spell() {
    walk(0, 0);
    return std::move(found_);
  }

 private:
  void walk(int state, std::size_t position) {
    if (found_.size() >= most_) return;
    if (position == text_.size()) {
      if (at(automaton_, state).ends_after >= 0) collect(at(automaton_, state).ends_after);
      return;
    }
    const auto [first, last] = arcs_for(at(automaton_, state), text_[position]);
    for (auto arc = first; arc != last; ++arc) {
      owners_.push_back(arc->part);
      walk(arc->to, position + 1);
      owners_.pop_back();
    }
  }

  void collect(int last_part) {
    Spelling spelling;
    spelling.parts.resize(static_cast<std::size_t>(last_part) + 1);
    for (std::size_t i = 0; i < owners_.size(); ++i)
      if (owners_[i] >= 0) spelling.parts[static_cast<std::size_t>(owners_[i])] += text_[i];
    found_.push_back(std::move(spelling));
  }

  const NumberAutomaton& automaton_;
  std::u32string_view text_;
  std::size_t most_;
  std::vector<int> owners_;
  std::vector<Spelling> found_;
};

std::uint16_t utf8_length(char32_t c) { return c < 0x80 ? 1 : c < 0x800 ? 2 : c < 0x10000 ? 3 : 4; }

// The same for the first way alone: which part each character belongs to, then the parts.
class ExactParts {
 public:
  static constexpr std::size_t k_longest = 192;  // code points; no number is longer

  ExactParts(const NumberAutomaton& automaton, std::u32string_view text) : automaton_(automaton), text_(text) {}

  std::size_t spell(PartLengths& lengths) {
    if (text_.size() > k_longest || !walk(0, 0)) return 0;
    lengths.fill(0);
    for (std::size_t i = 0; i < text_.size(); ++i)
      if (owners_[i] >= 0) lengths[static_cast<std::size_t>(owners_[i])] += utf8_length(text_[i]);
    return static_cast<std::size_t>(last_part_) + 1;
  }

 private:
  bool walk(int state, std::size_t position) {
    if (position == text_.size()) {
      last_part_ = at(automaton_, state).ends_after;
      return last_part_ >= 0;
    }
    const auto [first, last] = arcs_for(at(automaton_, state), text_[position]);
    for (auto arc = first; arc != last; ++arc) {
      owners_[position] = arc->part;
      if (walk(arc->to, position + 1)) return true;
    }
    return false;
  }

  const NumberAutomaton& automaton_;
  std::u32string_view text_;
  std::array<int, k_longest> owners_;  // written before it is read, as far as the text goes
  int last_part_ = -1;
};

// Looks for one text along two different ways: walks pairs of states that the same text reaches.
class AmbiguitySearch {
 public:
  AmbiguitySearch(const NumberAutomaton& automaton, const std::string& scheme)
      : automaton_(automaton), scheme_(scheme) {}

  std::optional<std::u32string> find() {
    if (!walk(0, 0, false)) return std::nullopt;
    return text_;
  }

 private:
  static constexpr std::size_t k_most_pairs = 400'000;

  // True when a text from here ends in both, the ways having parted before or after.
  bool walk(int first, int second, bool parted) {
    const std::uint64_t key = (static_cast<std::uint64_t>(first) << 33U) | (static_cast<std::uint64_t>(second) << 1U) |
                              static_cast<std::uint64_t>(parted);
    if (!seen_.try_emplace(key, true).second) return false;
    if (seen_.size() > k_most_pairs)
      throw data_error(fmt::format("The scheme \"{}\" is too large to be checked for ambiguous numbers.", scheme_), {},
                       "Shorten its lists, lengths or alphabets.");
    const State& a = at(automaton_, first);
    const State& b = at(automaton_, second);
    if (parted && a.ends_after >= 0 && b.ends_after >= 0) return true;
    for (std::size_t i = 0; i < a.arcs.size(); ++i) {
      const auto [from, to] = arcs_for(b, a.arcs[i].character);
      for (auto arc = from; arc != to; ++arc) {
        if (!parted && arc < b.arcs.begin() + static_cast<std::ptrdiff_t>(i)) continue;  // pairs are symmetric
        const bool part_now = parted || first != second || arc != b.arcs.begin() + static_cast<std::ptrdiff_t>(i);
        text_.push_back(arc->character);
        if (walk(a.arcs[i].to, arc->to, part_now)) return true;
        text_.pop_back();
      }
    }
    return false;
  }

  const NumberAutomaton& automaton_;
  const std::string& scheme_;
  std::unordered_map<std::uint64_t, bool> seen_;
  std::u32string text_;
};

int breadth(char32_t character) {
  constexpr std::u32string_view k_narrow_to_wide = U"0123456789mwMW";
  const std::size_t rank = k_narrow_to_wide.find(character);
  return rank == std::u32string_view::npos ? -1 : static_cast<int>(rank);
}

struct LongestWay {
  int length = -1;  // -1: no number ends this way
  const Arc* arc = nullptr;
  bool known = false;
};

const LongestWay& longest_from(const NumberAutomaton& automaton, int state, std::vector<LongestWay>& memo) {
  LongestWay& way = memo[static_cast<std::size_t>(state)];
  if (way.known) return way;
  way.known = true;
  if (at(automaton, state).ends_after >= 0) way.length = 0;
  for (const Arc& arc : at(automaton, state).arcs) {
    const LongestWay& rest = longest_from(automaton, arc.to, memo);
    if (rest.length < 0) continue;
    const auto merit = std::tuple{rest.length + 1, breadth(arc.character)};
    if (way.arc == nullptr ? rest.length + 1 > way.length
                           : merit >= std::tuple{way.length, breadth(way.arc->character)}) {
      way.length = rest.length + 1;
      way.arc = &arc;
    }
  }
  return way;
}

}  // namespace

std::vector<Spelling> exact_spellings(const NumberAutomaton& automaton, std::u32string_view text, std::size_t most) {
  return Speller{automaton, text, most}.spell();
}

std::size_t spell_exactly(const NumberAutomaton& automaton, std::u32string_view text, PartLengths& lengths) {
  return ExactParts{automaton, text}.spell(lengths);
}

std::optional<std::u32string> ambiguous_text(const NumberAutomaton& automaton, const std::string& scheme) {
  return AmbiguitySearch{automaton, scheme}.find();
}

std::u32string longest_text(const NumberAutomaton& automaton) {
  std::vector<LongestWay> memo(automaton.states.size());
  std::u32string text;
  for (const LongestWay* way = &longest_from(automaton, 0, memo); way->arc != nullptr;) {
    text.push_back(way->arc->character);
    way = &memo[static_cast<std::size_t>(way->arc->to)];
  }
  return text;
}

}  // namespace sherdmark
