// Every canonical number that a written text may stand for, with what had to be put right on the way.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "automaton.h"

namespace sherdmark {

struct Change {
  std::size_t at = 0;  // code point of the written text
  Correction why = Correction::blank_dropped;
  char32_t from = 0;  // as written; 0 when something was added
  char32_t to = 0;    // as it should be; 0 when something was dropped
  friend auto operator<=>(const Change&, const Change&) = default;
};

struct Candidate {
  std::u32string text;
  std::vector<std::u32string> parts;
  std::vector<Change> changes;  // sorted
};

struct SearchResult {
  std::vector<Candidate> candidates;  // none contains the changes of another; one alone is a certain reading
  bool gave_up = false;               // too many ways to read it
  std::size_t furthest = 0;           // first code point that nothing allows
  std::u32string expected;            // characters that may stand there
  bool end_expected = false;          // the number may end there
};

[[nodiscard]] bool is_blank(char32_t character);

[[nodiscard]] SearchResult search_numbers(const NumberAutomaton& automaton, std::u32string_view written);

// "letter O read as digit 0 (character 5)", one sentence part a kind of change.
[[nodiscard]] std::vector<std::string> describe_changes(const std::vector<Change>& changes);

}  // namespace sherdmark
