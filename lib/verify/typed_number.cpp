#include "sherdmark/verify/typed_number.h"

#include <fmt/format.h>

#include "sherdmark/base/text.h"
#include "sherdmark/code/check_character.h"

namespace sherdmark {
namespace {

bool is_known(const CollectionView& records, const std::string& number) {
  return records.find_number(number).meaning != NumberMeaning::unknown;
}

// An item's or a piece's number, as such labels carry.
std::optional<Number> label_number(const HouseStandard& standard, std::string_view text) {
  auto parsed = standard.parse_number(text);
  if (!parsed) return std::nullopt;
  const NumberLevel level = parsed->number.level();
  if (level != NumberLevel::item && level != NumberLevel::piece) return std::nullopt;
  return std::move(parsed->number);
}

bool has_check(const Number& number, char check) { return mod_37_36_check(check_character_data(number)) == check; }

char upper(char c) { return to_upper_ascii(std::string_view{&c, 1}).front(); }

// "2031-114-38=B", in any case.
TypedNumber with_check(const HouseStandard& standard, std::string_view text, std::size_t equals) {
  const auto number = label_number(standard, trim(text.substr(0, equals)));
  const std::string_view check = trim(text.substr(equals + 1));
  if (!number) return {};
  if (check.size() != 1 || !has_check(*number, upper(check.front()))) return {TypedSense::wrong_check, number->text()};
  return {TypedSense::number, number->text()};
}

// Would the text without its last character be a number whose check character that one is?
bool may_end_in_check(const HouseStandard& standard, std::string_view text) {
  if (!standard.artifact.check_character || text.size() < 2) return false;
  std::string_view rest = text.substr(0, text.size() - 1);
  while (!rest.empty() && (rest.back() == ' ' || rest.back() == '-')) rest.remove_suffix(1);
  const auto number = label_number(standard, rest);
  return number && has_check(*number, upper(text.back()));
}

}  // namespace

TypedNumber typed_number(const CollectionView& records, const HouseStandard& standard, std::string_view typed) {
  const std::string text{trim(typed)};
  if (text.empty()) return {};
  const std::size_t equals = text.rfind(k_check_separator);
  if (equals != std::string::npos && !is_known(records, text)) return with_check(standard, text, equals);
  if (may_end_in_check(standard, text)) return {TypedSense::needs_check, text};
  if (is_known(records, text)) return {TypedSense::number, text};
  const auto parsed = standard.parse_number(text);
  if (!parsed) return {};
  const std::string& number = parsed->number.text();
  if (label_number(standard, text) || is_known(records, number)) return {TypedSense::number, number};
  return {};
}

std::string typed_number_problem(const TypedNumber& typed, std::string_view text) {
  switch (typed.sense) {
    case TypedSense::number:
      return "";
    case TypedSense::wrong_check:
      return fmt::format("The check character of \"{}\" is not that of {}; look at the label again.", printable(text),
                         printable(typed.number));
    case TypedSense::needs_check:
      return fmt::format(
          "The last character of \"{}\" may be part of the number or its check character. Type the = too, and what "
          "stands after it, as on the label.",
          printable(text));
    case TypedSense::none:
      break;
  }
  return fmt::format("\"{}\" is no label and no number of this collection.", printable(text));
}

}  // namespace sherdmark
