#include <algorithm>
#include <map>
#include <optional>
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

bool is_letter_or_digit(char32_t c) {
  return (c >= U'0' && c <= U'9') || (c >= U'A' && c <= U'Z') || (c >= U'a' && c <= U'z');
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
  const auto turned_text = [&turns](std::u32string_view text) -> std::optional<std::u32string> {
    std::u32string turned;
    for (auto c = text.rbegin(); c != text.rend(); ++c) {
      const auto to = turns.find(*c);
      if (to == turns.end()) return std::nullopt;
      turned.push_back(to->second.front());
    }
    return turned;
  };
  const auto reads_as_another = [&](const std::u32string& text, const std::u32string& other) {
    return other != text &&
           std::ranges::any_of(grammars, [&](const NumberGrammar& grammar) { return accepts(grammar, other); });
  };
  std::vector<UpsideDownPair> found;
  for (const std::string& number : numbers) {
    const std::u32string text = decode_utf8(number).value_or(U"");
    if (const auto whole = turned_text(text); whole && reads_as_another(text, *whole)) {
      found.push_back({number, encode_utf8(*whole)});
      continue;
    }
    for (std::size_t from = 0; from < text.size();) {  // a part stands on a line of its own on a broken label
      std::size_t end = from;
      while (end < text.size() && is_letter_or_digit(text[end])) ++end;
      std::u32string other = text;
      const auto part = turned_text(std::u32string_view{text}.substr(from, end - from));
      if (part && end > from) other.replace(from, end - from, *part);
      if (reads_as_another(text, other)) {
        found.push_back({number, encode_utf8(other)});
        break;
      }
      from = end + 1;
    }
  }
  return found;
}

}  // namespace sherdmark
