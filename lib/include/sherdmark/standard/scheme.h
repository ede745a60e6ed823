// How the numbers of an accession are built, and numbers that are valid by construction.
//
// A scheme is a row of parts; each part is preceded by a separator (the first by none). The canonical form is the
// one text that is stored, printed and compared. Called from catalog, code, sheet, scan, ledger and verify.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace sherdmark {

enum class PartKind {
  trinomial,  // Smithsonian form: state number, county letters, running number ("16WC5")
  year,       // four digits in a range
  integer,    // in a range, with or without padding to a width
  letters,    // a count of letters from an alphabet
  one_of,     // one of a list
  free        // any of an alphabet, within a length
};

// What a number names when it ends after this part.
enum class NumberLevel : std::uint8_t { site, accession, lot, item, piece };

struct SchemePart {
  std::string name;  // "site", "lot", "item" …
  PartKind kind = PartKind::integer;
  std::string separator;  // text before this part; empty for the first part or for none
  bool optional = false;  // only trailing parts may be optional
  NumberLevel level = NumberLevel::item;
  std::int64_t smallest = 1;    // year, integer; running number of a trinomial
  std::int64_t largest = 9999;  // year, integer; running number of a trinomial
  int pad_to_digits = 0;        // integer, trinomial: 0 means no leading zeros in the canonical form
  int shortest = 1;             // letters, free: number of characters
  int longest = 1;
  std::string alphabet;  // letters, free: the characters allowed, UTF-8; trinomial: suffix letters, none when empty
  std::vector<std::string> choices;  // one_of; trinomial: postal letters of the states it may name, all when empty
};

[[nodiscard]] std::string_view to_text(PartKind kind);  // "trinomial", "year", "integer", "letters", "one of", "free"
[[nodiscard]] std::string_view to_text(NumberLevel level);  // "site", "accession", "lot", "item", "piece"

class Scheme;
struct NumberAutomaton;

inline constexpr std::size_t k_most_number_parts = 12;

// A number that parsed: canonical text plus the text of each part that is present, in scheme order.
class Number {
 public:
  [[nodiscard]] const std::string& text() const { return text_; }      // canonical, without any check character
  [[nodiscard]] const std::string& scheme() const { return scheme_; }  // name of the scheme
  [[nodiscard]] std::size_t part_count() const { return count_; }
  [[nodiscard]] std::string_view part(std::size_t index) const {
    return std::string_view{text_}.substr(parts_[index].at, parts_[index].length);
  }
  [[nodiscard]] std::vector<std::string> parts() const;
  [[nodiscard]] NumberLevel level() const { return level_; }
  friend bool operator==(const Number&, const Number&) = default;

 private:
  friend class Scheme;
  struct Part {  // where it lies in the text
    std::uint16_t at = 0;
    std::uint16_t length = 0;
    friend bool operator==(const Part&, const Part&) = default;
  };
  std::string text_;
  std::string scheme_;
  std::array<Part, k_most_number_parts> parts_{};
  std::uint8_t count_ = 0;
  NumberLevel level_ = NumberLevel::item;
};

// Why a text is not a number of the scheme: where (code point, from 0) and in words what was expected there.
struct NumberProblem {
  std::size_t at = 0;
  std::string expected;
  std::string remedy;
};

// A parse that worked. `corrections` says in words what was put right because the scheme left no other reading
// (O for 0, I or l for 1 by position; lower case; Unicode dashes; spaces; leading zeros): empty if the text was
// canonical. A canonical text is never changed. A text that could be put right in two ways is a NumberProblem.
struct ParsedNumber {
  Number number;
  std::vector<std::string> corrections;
};

// Between a printed number and its check character (docs/house-standard.md): "16ZQ5/12.3=K". It is part of no
// number: a printed text with a check character always ends in this and one of 0-9A-Z.
inline constexpr char k_check_separator = '=';

// Minimal deterministic automaton over the characters of a printed number: exactly the canonical forms, and when the
// standard prints a check character each followed by k_check_separator and any of 0-9A-Z (whether it is the right one
// is for the reader to verify). What the text reader may read; it knows nothing of the ledger. It has no cycles.
struct NumberGrammar {
  struct Arc {
    char32_t character = 0;
    int to = 0;
  };
  struct State {
    std::vector<Arc> arcs;   // sorted by character, no duplicates
    bool accepting = false;  // a whole number may end here
    bool may_break = false;  // a printed line may end here (between parts; the separator stays on the earlier line)
  };
  std::vector<State> states;  // state 0 is the start
  bool has_check_character =
      false;  // last character is ISO/IEC 7064 MOD 37,36 over the 0-9A-Z of the rest, upper-cased
};

class Scheme {
 public:
  // Throws data_error when the parts contradict each other: an empty range, an optional part before a required one,
  // a text that could be cut into parts in two ways (the error shows one).
  Scheme(std::string name, std::vector<SchemePart> parts);

  [[nodiscard]] const std::string& name() const { return name_; }
  [[nodiscard]] const std::vector<SchemePart>& parts() const { return parts_; }

  // Strict but kind: accepts spaces between parts, case and dash variants, leading zeros too many or too few, and
  // corrects by position. A number may end after a part only if all later parts are optional.
  [[nodiscard]] std::variant<ParsedNumber, NumberProblem> parse(std::string_view text) const;
  // Canonical text from part texts; std::nullopt if a part does not fit. format(parse(x).parts()) round-trips.
  [[nodiscard]] std::optional<Number> format(const std::vector<std::string>& parts) const;
  // The number cut after the last part of `level` or above; std::nullopt if it has no such part or may not end there.
  [[nodiscard]] std::optional<Number> up_to(const Number& number, NumberLevel level) const;
  // The printed text cut at every place where a printed line may break: after a separator between two parts, which
  // stays at the end of its piece, so that a line that goes on is seen to go on. Parts that no separator divides stay
  // on one line, and so does the check character with what stands before it.
  [[nodiscard]] std::vector<std::string> break_pieces(const Number& number,
                                                      std::optional<char> check_character = std::nullopt) const;
  // Numbers of `level` and of every level below it (items and their pieces for `item`) and, for labels, their check
  // character. An automaton without a state accepts nothing: no number of the scheme reaches the level.
  [[nodiscard]] NumberGrammar grammar(NumberLevel level, bool check_character) const;
  // The longest canonical number, in code points; of several the one with the widest letters (worst case for labels
  // and codes).
  [[nodiscard]] std::string longest_number() const;
  // A canonical number with small figures, of an item where the scheme has items: to show how numbers are built.
  [[nodiscard]] std::string example_number() const;

 private:
  // A canonical text as a number: `lengths` of its parts, in bytes.
  [[nodiscard]] Number number_of(std::string text, std::span<const std::uint16_t> lengths) const;

  std::string name_;
  std::vector<SchemePart> parts_;
  std::shared_ptr<const NumberAutomaton> automaton_;
};

// What a check character is computed over: the 0-9 and A-Z of the number, upper-cased, everything else left out.
[[nodiscard]] std::string check_character_data(const Number& number);
// The text as printed: the canonical text, with k_check_separator and the check character when there is one.
[[nodiscard]] std::string printed_text(const Number& number, std::optional<char> check_character);

}  // namespace sherdmark
