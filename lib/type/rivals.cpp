#include <algorithm>
#include <map>
#include <set>

#include "sherdmark/base/text.h"
#include "sherdmark/type/distinctness.h"

namespace sherdmark {
namespace {

const NumberGrammar::Arc* find_arc(const NumberGrammar::State& state, char32_t character) {
  for (const NumberGrammar::Arc& arc : state.arcs)
    if (arc.character == character) return &arc;
  return nullptr;
}

std::vector<std::u32string> without_subsets(const std::set<std::u32string>& sets) {
  std::vector<std::u32string> kept;
  for (const std::u32string& set : sets) {
    const bool inside_another = std::any_of(sets.begin(), sets.end(), [&set](const std::u32string& other) {
      return other.size() > set.size() && std::includes(other.begin(), other.end(), set.begin(), set.end());
    });
    if (set.size() > 1 && !inside_another) kept.push_back(set);
  }
  return kept;
}

}  // namespace

bool accepts(const NumberGrammar& grammar, const std::u32string& text) {
  if (grammar.states.empty()) return false;
  int at = 0;
  for (const char32_t c : text) {
    const NumberGrammar::Arc* arc = find_arc(grammar.states[static_cast<std::size_t>(at)], c);
    if (arc == nullptr) return false;
    at = arc->to;
  }
  return grammar.states[static_cast<std::size_t>(at)].accepting;
}

std::vector<std::u32string> rival_sets(const std::vector<NumberGrammar>& grammars) {
  std::set<std::u32string> sets;
  for (const NumberGrammar& grammar : grammars)
    for (const NumberGrammar::State& state : grammar.states) {
      std::u32string set;
      for (const NumberGrammar::Arc& arc : state.arcs) set.push_back(arc.character);
      std::sort(set.begin(), set.end());
      sets.insert(set);
    }
  return without_subsets(sets);
}

std::vector<std::u32string> rival_sets(const std::vector<NumberGrammar>& grammars,
                                       const std::vector<std::string>& numbers) {
  std::set<std::u32string> sets;
  for (const NumberGrammar& grammar : grammars) {
    std::map<int, std::set<char32_t>> used;  // by state: the characters these numbers take there
    for (const std::string& number : numbers) {
      const std::u32string text = decode_utf8(number).value_or(U"");
      if (!accepts(grammar, text)) continue;
      int at = 0;
      for (const char32_t c : text) {
        used[at].insert(c);
        at = find_arc(grammar.states[static_cast<std::size_t>(at)], c)->to;
      }
    }
    for (const auto& [state, characters] : used) sets.emplace(characters.begin(), characters.end());
  }
  return without_subsets(sets);
}

std::vector<UpsideDownPair> upside_down_numbers(const Typeface& face, const std::vector<NumberGrammar>& grammars,
                                                const std::vector<std::string>& numbers,
                                                const ReadingConditions& conditions, const PrintedRule& rule) {
  std::set<char32_t> characters;
  for (const std::u32string& set : rival_sets(grammars)) characters.insert(set.begin(), set.end());
  std::map<char32_t, std::u32string> turns;
  for (const GlyphPair& pair : rank_rotated_pairs(face, {characters.begin(), characters.end()}, conditions, rule)) {
    if (pair.distinctness >= k_distinctness_limit) break;
    turns[pair.first].push_back(pair.second);
    if (pair.first != pair.second) turns[pair.second].push_back(pair.first);
  }
  std::vector<UpsideDownPair> found;
  for (const std::string& number : numbers) {
    const std::u32string text = decode_utf8(number).value_or(U"");
    std::u32string turned;
    for (auto c = text.rbegin(); c != text.rend(); ++c) {
      const auto to = turns.find(*c);
      if (to == turns.end()) break;
      turned.push_back(to->second.front());
    }
    if (turned.size() != text.size() || turned == text) continue;
    for (const NumberGrammar& grammar : grammars)
      if (accepts(grammar, turned)) {
        found.push_back({number, encode_utf8(turned)});
        break;
      }
  }
  return found;
}

}  // namespace sherdmark
