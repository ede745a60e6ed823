#include "number_search.h"

#include <algorithm>
#include <set>

namespace sherdmark {
namespace {

struct Variant {
  char32_t character = 0;
  std::optional<Correction> why;  // none: as written
};

// Typographic variants of the characters that separate parts.
char32_t plain_form(char32_t c) {
  if ((c >= 0x2010 && c <= 0x2015) || c == 0x2212 || c == 0xFE58 || c == 0xFE63) return U'-';
  if (c == 0x2044 || c == 0x2215) return U'/';
  if (c >= 0xFF01 && c <= 0xFF5E) return c - 0xFF01 + U'!';
  if (c == 0xA0 || (c >= 0x2000 && c <= 0x200A) || c == 0x202F || c == 0x205F || c == 0x3000 || c == U'\t') return U' ';
  return c;
}

char32_t other_case(char32_t c) {
  if (c >= U'a' && c <= U'z') return c - U'a' + U'A';
  if (c >= U'A' && c <= U'Z') return c - U'A' + U'a';
  return c;
}

// What a written character may stand for, the most faithful first.
std::vector<Variant> variants_of(char32_t written) {
  std::vector<Variant> variants{{written, std::nullopt}};
  const char32_t plain = plain_form(written);
  if (plain != written) variants.push_back({plain, Correction::typographic});
  if (other_case(written) != written) variants.push_back({other_case(written), Correction::letter_case});
  switch (written) {
    case U'O':
    case U'o':
      variants.push_back({U'0', Correction::lookalike});
      break;
    case U'I':
    case U'l':
    case U'i':
    case U'|':
      variants.push_back({U'1', Correction::lookalike});
      break;
    case U'0':
      variants.push_back({U'O', Correction::lookalike});
      variants.push_back({U'o', Correction::lookalike});
      break;
    case U'1':
      variants.push_back({U'I', Correction::lookalike});
      variants.push_back({U'i', Correction::lookalike});
      variants.push_back({U'l', Correction::lookalike});
      break;
    default:
      break;
  }
  return variants;
}

struct Step {
  int to = 0;
  std::size_t position = 0;
  char32_t emit = 0;
  int part = -1;
  std::vector<Change> changes;
};

class Search {
 public:
  Search(const NumberAutomaton& automaton, std::u32string_view written)
      : automaton_(automaton),
        written_(written),
        can_finish_(automaton.states.size() * (written.size() + 1), k_unknown) {}

  SearchResult run() {
    if (can_finish(0, 0)) walk(0, 0);
    return std::move(result_);
  }

 private:
  static constexpr char k_unknown = 2;
  static constexpr int k_most_steps = 20'000;

  const NumberAutomaton::State& at(int state) const { return automaton_.states[static_cast<std::size_t>(state)]; }

  // Every way to go on from here; those that change nothing first.
  std::vector<Step> steps(int state, std::size_t position) const {
    std::vector<Step> result;
    if (position < written_.size()) {
      for (const Variant& variant : variants_of(written_[position])) {
        std::vector<Change> changes;
        if (variant.why) changes.push_back({position, *variant.why, written_[position], variant.character});
        for (const NumberAutomaton::Arc& arc : at(state).arcs)
          if (arc.character == variant.character)
            result.push_back({arc.to, position + 1, arc.character, arc.part, changes});
        for (const NumberAutomaton::KindArc& arc : at(state).kind_arcs) {
          if (arc.consume == 0 || arc.consume != variant.character) continue;
          std::vector<Change> dropped = changes;
          if (variant.why == Correction::typographic) dropped.clear();  // dropping it says enough
          dropped.push_back({position, arc.why, written_[position], 0});
          result.push_back({arc.to, position + 1, 0, arc.part, std::move(dropped)});
        }
      }
    }
    for (const NumberAutomaton::KindArc& arc : at(state).kind_arcs)
      if (arc.consume == 0)
        result.push_back({arc.to, position, arc.emit, arc.part, {{position, arc.why, 0, arc.emit}}});
    return result;
  }

  bool can_finish(int state, std::size_t position) {
    char& known = can_finish_[static_cast<std::size_t>(state) * (written_.size() + 1) + position];
    if (known != k_unknown) return known == 1;
    known = 0;
    note_reach(state, position);
    bool finish = position == written_.size() && at(state).ends_after >= 0;
    for (const Step& step : steps(state, position)) finish = can_finish(step.to, step.position) || finish;
    known = finish ? 1 : 0;
    return finish;
  }

  void note_reach(int state, std::size_t position) {
    if (position < result_.furthest) return;
    if (position > result_.furthest) {
      result_.furthest = position;
      result_.expected.clear();
      result_.end_expected = false;
    }
    for (const NumberAutomaton::Arc& arc : at(state).arcs) result_.expected.push_back(arc.character);
    result_.end_expected = result_.end_expected || at(state).ends_after >= 0;
  }

  // True when a reading already found needed only changes that this way needs too.
  bool is_beaten() const {
    std::vector<Change> sorted = changes_;
    std::sort(sorted.begin(), sorted.end());
    return std::any_of(result_.candidates.begin(), result_.candidates.end(), [&sorted](const Candidate& candidate) {
      return candidate.changes.size() < sorted.size() &&
             std::includes(sorted.begin(), sorted.end(), candidate.changes.begin(), candidate.changes.end());
    });
  }

  void walk(int state, std::size_t position) {
    if (result_.gave_up || is_beaten()) return;
    if (++steps_taken_ > k_most_steps) {
      result_.gave_up = true;
      return;
    }
    if (position == written_.size() && at(state).ends_after >= 0) collect(at(state).ends_after);
    for (const Step& step : steps(state, position)) {
      if (!can_finish(step.to, step.position)) continue;
      changes_.insert(changes_.end(), step.changes.begin(), step.changes.end());
      if (step.emit != 0) text_.push_back(step.emit), owners_.push_back(step.part);
      walk(step.to, step.position);
      if (step.emit != 0) text_.pop_back(), owners_.pop_back();
      changes_.resize(changes_.size() - step.changes.size());
    }
  }

  void collect(int last_part) {
    Candidate candidate{text_, {}, changes_};
    std::sort(candidate.changes.begin(), candidate.changes.end());
    for (const Candidate& other : result_.candidates)
      if (other.text == candidate.text && other.changes.size() <= candidate.changes.size()) return;
    candidate.parts.resize(static_cast<std::size_t>(last_part) + 1);
    for (std::size_t i = 0; i < text_.size(); ++i)
      if (owners_[i] >= 0) candidate.parts[static_cast<std::size_t>(owners_[i])] += text_[i];
    std::erase_if(result_.candidates, [&candidate](const Candidate& other) {
      return other.text == candidate.text || (other.changes.size() > candidate.changes.size() &&
                                              std::includes(other.changes.begin(), other.changes.end(),
                                                            candidate.changes.begin(), candidate.changes.end()));
    });
    result_.candidates.push_back(std::move(candidate));
  }

  const NumberAutomaton& automaton_;
  std::u32string_view written_;
  std::vector<char> can_finish_;
  SearchResult result_;
  std::vector<Change> changes_;
  std::u32string text_;
  std::vector<int> owners_;
  int steps_taken_ = 0;
};

}  // namespace

bool is_blank(char32_t character) { return plain_form(character) == U' '; }

SearchResult search_numbers(const NumberAutomaton& automaton, std::u32string_view written) {
  return Search{automaton, written}.run();
}

}  // namespace sherdmark
