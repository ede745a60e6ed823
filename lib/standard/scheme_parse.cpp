#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>

#include "automaton.h"
#include "number_search.h"
#include "scheme_checks.h"
#include "sherdmark/base/text.h"
#include "sherdmark/standard/scheme.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_longest_written = 192;  // code points; a canonical number and room for blanks

std::string show(char32_t character) { return encode_utf8(std::u32string(1, character)); }

std::string kind_of(char32_t c) {
  if (c >= U'0' && c <= U'9') return "digit";
  return (c >= U'A' && c <= U'Z') || (c >= U'a' && c <= U'z') ? "letter" : "sign";
}

// Runs of allowed characters in words: "a digit", "one of A-K", "\"/\"".
std::string describe_expected(std::u32string characters, bool end_expected) {
  std::sort(characters.begin(), characters.end());
  characters.erase(std::unique(characters.begin(), characters.end()), characters.end());
  std::vector<std::string> words;
  for (std::size_t i = 0; i < characters.size();) {
    std::size_t last = i;
    while (last + 1 < characters.size() && characters[last + 1] == characters[last] + 1) ++last;
    const bool all_digits = characters[i] == U'0' && characters[last] == U'9';
    if (all_digits)
      words.emplace_back("a digit");
    else if (last - i >= 2)
      words.push_back(fmt::format("{} to {}", show(characters[i]), show(characters[last])));
    else
      for (std::size_t k = i; k <= last; ++k) words.push_back(fmt::format("\"{}\"", show(characters[k])));
    i = last + 1;
  }
  constexpr std::size_t k_most_words = 12;
  if (words.size() > k_most_words) {
    words.resize(k_most_words);
    words.emplace_back("…");
  }
  if (end_expected) words.emplace_back("the end of the number");
  return join(words, " or ");
}

NumberProblem problem_of(const SearchResult& result) {
  if (result.gave_up)
    return {0, "a number that can be read in one way only", "Write the number out in full, as it would be printed."};
  if (result.candidates.size() >= 2) {
    const std::u32string& first = result.candidates[0].text;
    const std::u32string& second = result.candidates[1].text;
    const auto differ = std::mismatch(first.begin(), first.end(), second.begin(), second.end());
    return {static_cast<std::size_t>(differ.first - first.begin()),
            fmt::format("a number that can be read in one way only; this may be \"{}\" or \"{}\"", encode_utf8(first),
                        encode_utf8(second)),
            "Look at the object or the records, and write the right one."};
  }
  return {result.furthest, describe_expected(result.expected, result.end_expected),
          "Write the number as the house standard builds it, or name its scheme for the accession."};
}

std::string say(const Change& change) {
  switch (change.why) {
    case Correction::letter_case:
      return change.to < U'a' ? "lower-case letters taken as capitals" : "capitals taken as lower-case letters";
    case Correction::lookalike:
      return fmt::format("{} {} taken as {} {} (character {})", kind_of(change.from), show(change.from),
                         kind_of(change.to), show(change.to), change.at + 1);
    case Correction::typographic:
      return change.to == U'-' ? "a typographic dash taken as a hyphen"
                               : fmt::format("the sign {} taken as {}", printable(show(change.from)), show(change.to));
    case Correction::blank_dropped:
      return "spaces left out";
    case Correction::zero_dropped:
      return "leading zeros left out";
    case Correction::zero_added:
      return "missing leading zeros put back";
    case Correction::punctuation_dropped:
      return "hyphens left out";
    case Correction::punctuation_added:
      return fmt::format("a missing \"{}\" put in", show(change.to));
  }
  return {};
}

// Text of ASCII alone is put into `space`; the rest is decoded. Nothing when it is no UTF-8.
std::optional<std::u32string_view> code_points(std::string_view text, std::array<char32_t, k_longest_written>& space,
                                               std::u32string& decoded) {
  const auto is_ascii = [](char c) { return static_cast<unsigned char>(c) < 0x80; };
  if (text.size() <= space.size() && std::all_of(text.begin(), text.end(), is_ascii)) {
    std::copy(text.begin(), text.end(), space.begin());
    return std::u32string_view{space.data(), text.size()};
  }
  std::optional<std::u32string> whole = decode_utf8(text);
  if (!whole) return std::nullopt;
  decoded = std::move(*whole);
  return std::u32string_view{decoded};
}

}  // namespace

std::vector<std::string> describe_changes(const std::vector<Change>& changes) {
  std::vector<std::string> words;
  for (const Change& change : changes)
    if (std::string one = say(change); std::find(words.begin(), words.end(), one) == words.end())
      words.push_back(std::move(one));
  return words;
}

std::variant<ParsedNumber, NumberProblem> Scheme::parse(std::string_view text) const {
  std::array<char32_t, k_longest_written> space;  // NOLINT(*-member-init): written before it is read
  std::u32string decoded;
  const std::optional<std::u32string_view> read = code_points(text, space, decoded);
  if (!read) return NumberProblem{0, "UTF-8 text", "Save the file as UTF-8."};
  std::u32string_view written = *read;
  if (written.size() > k_longest_written)
    return NumberProblem{k_longest_written, "a number of this length at most",
                         "Check whether several cells ran together."};
  ParsedNumber parsed;
  std::vector<std::string>& corrections = parsed.corrections;
  while (!written.empty() && is_blank(written.back())) {
    written.remove_suffix(1);
    corrections.assign(1, "spaces left out");
  }
  PartLengths lengths{};
  if (const std::size_t count = spell_exactly(*automaton_, written, lengths)) {
    std::string canonical = decoded.empty() ? std::string{text.substr(0, written.size())} : encode_utf8(written);
    parsed.number = number_of(std::move(canonical), std::span{lengths}.first(count));
    return parsed;
  }
  SearchResult result = search_numbers(*automaton_, written);
  if (result.gave_up || result.candidates.size() != 1) return problem_of(result);
  const Candidate& found = result.candidates[0];
  std::string spelt;
  for (std::size_t i = 0; i < found.parts.size(); ++i) {
    const std::string part = encode_utf8(found.parts[i]);
    spelt += parts_[i].separator + part;
    lengths.at(i) = static_cast<std::uint16_t>(part.size());
  }
  for (std::string& change : describe_changes(found.changes))
    if (corrections.empty() || corrections[0] != change) corrections.push_back(std::move(change));
  parsed.number = number_of(std::move(spelt), std::span{lengths}.first(found.parts.size()));
  return parsed;
}

}  // namespace sherdmark
