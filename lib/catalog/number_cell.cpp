#include "catalog/number_cell.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "catalog/cell_values.h"
#include "catalog/unicode_text.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

std::optional<ParsedNumber> parse_with(std::string_view text, const HouseStandard& standard, const Scheme* scheme) {
  if (scheme == nullptr) return standard.parse_number(text);
  auto outcome = scheme->parse(text);
  if (auto* parsed = std::get_if<ParsedNumber>(&outcome)) return std::move(*parsed);
  return std::nullopt;
}

std::string in_quotes(const std::vector<std::string>& texts) {
  std::vector<std::string> shown;
  for (const std::string& text : texts) shown.push_back("\"" + printable(text) + "\"");
  return join(shown, " or ");
}

// The texts that are numbers of the standard, at most three.
std::vector<std::string> possible(const std::vector<std::string>& originals, const HouseStandard& standard,
                                  const Scheme* scheme) {
  std::vector<std::string> numbers;
  for (const std::string& original : originals) {
    const auto parsed = parse_with(original, standard, scheme);
    if (!parsed || numbers.size() == 3) continue;
    if (std::find(numbers.begin(), numbers.end(), parsed->number.text()) == numbers.end())
      numbers.push_back(parsed->number.text());
  }
  return numbers;
}

// What a spreadsheet made of the number, where its traces show. False if there are none.
bool explain_damage(std::string_view text, const HouseStandard& standard, const Scheme* scheme,
                    NumberReading& reading) {
  const Damage damage = find_damage(text);
  std::vector<std::string> originals = damage.originals;
  for (std::string& original : before_scientific(text)) originals.push_back(std::move(original));
  const std::vector<std::string> numbers = possible(originals, standard, scheme);
  const std::string was = numbers.empty() ? "" : fmt::format(" It may have been {}.", in_quotes(numbers));
  switch (damage.kind) {
    case Damage::Kind::date:
      reading.problem = "A spreadsheet turned the number into a date.";
      break;
    case Damage::Kind::scientific:
      reading.problem = "A spreadsheet took the E in the number for a power of ten, or shortened a long number.";
      break;
    case Damage::Kind::day_number:
      if (numbers.empty()) return false;
      reading.problem = "This may be the number a spreadsheet keeps for a day, made from a number with dashes.";
      break;
    case Damage::Kind::none:
      if (numbers.empty()) return false;
      reading.problem = "A spreadsheet may have worked out a number with an E in it as a power of ten.";
      break;
  }
  reading.detail = was;
  reading.remedy = "Look at the object or the paper catalog, format the whole column as text, and type it again.";
  return true;
}

void explain_expected(std::string_view text, const Scheme& scheme, NumberReading& reading) {
  const auto outcome = scheme.parse(text);
  const auto* problem = std::get_if<NumberProblem>(&outcome);
  reading.problem = fmt::format("This is not a number of the scheme \"{}\".", scheme.name());
  reading.remedy = "Write the number as the house standard builds it.";
  if (problem == nullptr) return;
  reading.detail = fmt::format(" At character {}, {} was expected.", problem->at + 1, problem->expected);
  if (!problem->remedy.empty()) reading.remedy = problem->remedy;
  reading.detail += fmt::format(" A number of it looks like {}.", printable(scheme.example_number()));
}

}  // namespace

NumberReading read_number(std::string_view text, const HouseStandard& standard, const Scheme* scheme) {
  NumberReading reading;
  const bool plain = is_plain_ascii(text);
  const std::string composed = plain ? std::string{} : to_nfc(text);
  const std::string_view whole = plain ? text : std::string_view{composed};
  if (!plain) {
    const HiddenCharacters hidden = find_hidden(whole);
    if (!hidden.direction.empty()) {
      reading.problem = fmt::format(
          "The number holds characters that change the direction of text ({}), so it does not "
          "read as it is stored.",
          join(hidden.direction, ", "));
      reading.remedy = "Type the number again from the object.";
      return reading;
    }
  }
  if (auto parsed = parse_with(whole, standard, scheme)) {
    reading.number = std::move(parsed->number);
    reading.corrections = std::move(parsed->corrections);
    return reading;
  }
  const TypedText typed = plain ? TypedText{} : as_typed(whole, true);
  const std::string_view ascii = plain ? whole : std::string_view{typed.text};
  if (!plain) {
    if (auto parsed = parse_with(ascii, standard, scheme)) {
      reading.number = std::move(parsed->number);
      reading.corrections = typed.changes;
      for (std::string& correction : parsed->corrections) reading.corrections.push_back(std::move(correction));
      return reading;
    }
  }
  if (explain_damage(ascii, standard, scheme, reading)) return reading;
  explain_expected(ascii, scheme != nullptr ? *scheme : standard.scheme(standard.default_scheme), reading);
  if (!typed.changes.empty())
    reading.detail += fmt::format(" It also holds characters of no keyboard: {}.", join(typed.changes, ", "));
  return reading;
}

// A number's text is its separators and parts one behind the other, so what ends with a part is a piece of it.
std::string_view prefix_of(const Number& number, const Scheme& scheme, NumberLevel level) {
  std::size_t length = 0;
  std::size_t prefix_length = 0;
  bool exact = false;
  for (std::size_t i = 0; i < number.part_count() && i < scheme.parts().size(); ++i) {
    const SchemePart& part = scheme.parts()[i];
    length += part.separator.size() + number.part(i).size();
    if (part.level > level) continue;
    prefix_length = length;
    exact = part.level == level;
  }
  return exact ? std::string_view{number.text()}.substr(0, prefix_length) : std::string_view{};
}

}  // namespace sherdmark
