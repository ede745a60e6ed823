#include "scheme_checks.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "trinomial.h"

namespace sherdmark {
namespace {

constexpr std::int64_t k_largest_integer = 1'000'000'000'000'000;
constexpr int k_longest_part = 64;

[[noreturn]] void refuse(const std::string& scheme, const SchemePart& part, const std::string& problem,
                         std::string remedy) {
  throw data_error(fmt::format("Scheme \"{}\", part \"{}\": {}", scheme, part.name, problem), {}, std::move(remedy));
}

bool is_letter(char32_t c) { return (c >= U'A' && c <= U'Z') || (c >= U'a' && c <= U'z') || c >= 0xC0; }

// Printable, and free of the mark that is kept for check characters.
bool is_clean(std::string_view text) {
  return is_valid_utf8(text) && printable(text) == text && text.find(k_check_separator) == std::string_view::npos;
}

void check_range(const std::string& scheme, const SchemePart& part) {
  const std::int64_t least = part.kind == PartKind::year ? 1000 : 0;
  const std::int64_t most = part.kind == PartKind::year ? 9999 : k_largest_integer;
  if (part.smallest < least || part.largest > most)
    refuse(scheme, part,
           fmt::format("the range {} to {} reaches outside {} to {}.", part.smallest, part.largest, least, most),
           "Choose smallest and largest within it.");
  if (part.smallest > part.largest)
    refuse(scheme, part, fmt::format("no number lies between smallest {} and largest {}.", part.smallest, part.largest),
           "Exchange the two.");
  if (part.pad_to_digits < 0 || part.pad_to_digits > 15)
    refuse(scheme, part, "digits must be 0 (no leading zeros) to 15.", "Correct digits.");
}

void check_alphabet(const std::string& scheme, const SchemePart& part, bool letters_only) {
  const std::u32string alphabet = decode_utf8(part.alphabet).value_or(std::u32string{});
  if (alphabet.empty() || !is_clean(part.alphabet))
    refuse(scheme, part,
           "the alphabet is empty, or holds characters that cannot be printed or \"=\" (kept for check characters).",
           "List the characters that may stand there.");
  if (std::set<char32_t>(alphabet.begin(), alphabet.end()).size() != alphabet.size())
    refuse(scheme, part, "a character stands twice in the alphabet.", "List each character once.");
  if (letters_only && !std::all_of(alphabet.begin(), alphabet.end(), is_letter))
    refuse(scheme, part, "the alphabet holds something that is no letter.", "Use kind \"free\" for other characters.");
  if (!letters_only && (alphabet.front() == U' ' || alphabet.find(U' ') != std::u32string::npos))
    refuse(scheme, part, "the alphabet holds a space, which people and spreadsheets lose.", "Leave the space out.");
}

void check_length(const std::string& scheme, const SchemePart& part) {
  if (part.shortest < 1 || part.longest < part.shortest || part.longest > k_longest_part)
    refuse(scheme, part, fmt::format("a length from {} to {} is not possible.", part.shortest, part.longest),
           fmt::format("Choose 1 <= shortest <= longest <= {}.", k_longest_part));
}

void check_choices(const std::string& scheme, const SchemePart& part) {
  if (part.choices.empty()) refuse(scheme, part, "there is nothing to choose from.", "List the choices.");
  std::set<std::string> seen;
  for (const std::string& choice : part.choices) {
    if (choice.empty() || !is_clean(choice) || choice != trim(choice) || code_point_count(choice) > k_longest_part)
      refuse(scheme, part,
             fmt::format(
                 "the choice \"{}\" is empty, too long, not printable, or holds \"=\" (kept for check characters).",
                 printable(choice)),
             "Correct the choice.");
    if (!seen.insert(choice).second)
      refuse(scheme, part, fmt::format("the choice \"{}\" stands twice.", choice), "List each choice once.");
  }
}

void check_trinomial(const std::string& scheme, const SchemePart& part) {
  for (const std::string& postal : part.choices) {
    const auto& states = trinomial_states();
    if (std::none_of(states.begin(), states.end(), [&postal](const StateRow& row) { return row.postal == postal; }))
      refuse(scheme, part, fmt::format("\"{}\" is not a state that has trinomials.", printable(postal)),
             "Give the two postal letters of a state, such as \"NC\".");
  }
  if (std::set<std::string>(part.choices.begin(), part.choices.end()).size() != part.choices.size())
    refuse(scheme, part, "a state stands twice.", "List each state once.");
  check_range(scheme, part);
  if (part.smallest < 1) refuse(scheme, part, "site numbers start at 1.", "Set smallest to 1 or more.");
  if (!part.alphabet.empty()) check_alphabet(scheme, part, true);
}

void check_part(const std::string& scheme, const SchemePart& part) {
  switch (part.kind) {
    case PartKind::trinomial:
      return check_trinomial(scheme, part);
    case PartKind::year:
    case PartKind::integer:
      return check_range(scheme, part);
    case PartKind::letters:
    case PartKind::free:
      check_alphabet(scheme, part, part.kind == PartKind::letters);
      return check_length(scheme, part);
    case PartKind::one_of:
      return check_choices(scheme, part);
  }
}

void check_order(const std::string& scheme, const std::vector<SchemePart>& parts) {
  std::set<std::string> names;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const SchemePart& part = parts[i];
    if (part.name.empty() || !names.insert(part.name).second)
      refuse(scheme, part, "the name is empty or used twice.", "Give every part a name of its own.");
    if (!is_clean(part.separator) || code_point_count(part.separator) > 4)
      refuse(scheme, part,
             "the separator is longer than 4 characters, not printable, or holds \"=\" (kept for check characters).",
             "Use a short separator such as \"-\".");
    if (part.separator != trim(part.separator))
      refuse(scheme, part, "the separator begins or ends with a space, which people and spreadsheets lose.",
             "Use a mark such as \"/\".");
    if (i == 0 && (!part.separator.empty() || part.optional))
      refuse(scheme, part, "the first part can have no separator before it and cannot be optional.", "Leave both out.");
    if (i == 0) continue;
    if (parts[i - 1].optional && !part.optional)
      refuse(scheme, part, "a required part follows an optional one.", "Only the last parts may be optional.");
    if (part.level < parts[i - 1].level)
      refuse(scheme, part, "its level is above that of the part before it.",
             "Order the parts: site, accession, lot, item, piece.");
  }
}

std::string show_spelling(const Spelling& spelling, const std::vector<SchemePart>& parts) {
  std::string text;
  for (std::size_t i = 0; i < spelling.parts.size(); ++i)
    text += fmt::format("{}{} \"{}\"", i == 0 ? "" : ", ", parts[i].name, encode_utf8(spelling.parts[i]));
  return text;
}

}  // namespace

void check_parts(const std::string& scheme, const std::vector<SchemePart>& parts) {
  if (parts.empty() || parts.size() > k_most_number_parts)
    throw data_error(fmt::format("Scheme \"{}\" has {} parts.", scheme, parts.size()), {},
                     fmt::format("Give it 1 to {} parts.", k_most_number_parts));
  check_order(scheme, parts);
  for (const SchemePart& part : parts) check_part(scheme, part);
}

void check_unambiguous(const NumberAutomaton& automaton, const std::string& scheme,
                       const std::vector<SchemePart>& parts) {
  if (longest_text(automaton).size() > k_longest_number)
    throw data_error(fmt::format("Scheme \"{}\" allows numbers of more than {} characters.", scheme, k_longest_number),
                     {}, "Shorten its parts; such numbers fit no label.");
  const std::optional<std::u32string> text = ambiguous_text(automaton, scheme);
  if (!text) return;
  const std::vector<Spelling> ways = exact_spellings(automaton, *text, 2);
  std::string shown;
  if (ways.size() == 2)
    shown = fmt::format(": {}, or {}", show_spelling(ways[0], parts), show_spelling(ways[1], parts));
  throw data_error(
      fmt::format("Scheme \"{}\" is ambiguous: \"{}\" can be read in two ways{}.", scheme, encode_utf8(*text), shown),
      {}, "Put a separator between these parts, or choose alphabets that cannot run into each other.");
}

}  // namespace sherdmark
