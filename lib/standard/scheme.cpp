#include "sherdmark/standard/scheme.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "automaton.h"
#include "scheme_checks.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr std::array<std::string_view, 6> k_kinds{"trinomial", "year", "integer", "letters", "one of", "free"};
constexpr std::array<std::string_view, 5> k_levels{"site", "accession", "lot", "item", "piece"};

}  // namespace

std::string_view to_text(PartKind kind) { return k_kinds.at(static_cast<std::size_t>(kind)); }
std::string_view to_text(NumberLevel level) { return k_levels.at(static_cast<std::size_t>(level)); }

Scheme::Scheme(std::string name, std::vector<SchemePart> parts) : name_(std::move(name)), parts_(std::move(parts)) {
  check_parts(name_, parts_);
  automaton_ = std::make_shared<const NumberAutomaton>(build_automaton(parts_, name_));
  check_unambiguous(*automaton_, name_, parts_);
}

std::vector<std::string> Number::parts() const {
  std::vector<std::string> parts;
  for (std::size_t i = 0; i < part_count(); ++i) parts.emplace_back(part(i));
  return parts;
}

Number Scheme::number_of(std::string text, std::span<const std::uint16_t> lengths) const {
  Number number;
  std::size_t at = 0;
  for (std::size_t i = 0; i < lengths.size(); ++i) {
    at += parts_[i].separator.size();
    number.parts_.at(i) = {static_cast<std::uint16_t>(at), lengths[i]};
    at += lengths[i];
  }
  number.text_ = std::move(text);
  number.scheme_ = name_;
  number.count_ = static_cast<std::uint8_t>(lengths.size());
  number.level_ = parts_[lengths.size() - 1].level;
  return number;
}

std::optional<Number> Scheme::format(const std::vector<std::string>& parts) const {
  if (parts.empty() || parts.size() > parts_.size()) return std::nullopt;
  std::string text;
  for (std::size_t i = 0; i < parts.size(); ++i) text += parts_[i].separator + parts[i];
  const std::optional<std::u32string> wide = decode_utf8(text);
  if (!wide || wide->size() > k_longest_number) return std::nullopt;
  PartLengths lengths{};
  if (spell_exactly(*automaton_, *wide, lengths) != parts.size()) return std::nullopt;
  for (std::size_t i = 0; i < parts.size(); ++i)
    if (lengths[i] != parts[i].size()) return std::nullopt;
  return number_of(std::move(text), std::span{lengths}.first(parts.size()));
}

std::optional<Number> Scheme::up_to(const Number& number, NumberLevel level) const {
  std::vector<std::string> kept;
  for (std::size_t i = 0; i < number.part_count() && i < parts_.size(); ++i) {
    if (parts_[i].level > level) continue;
    kept = number.parts();
    kept.resize(i + 1);
  }
  return format(kept);
}

std::vector<std::string> Scheme::break_pieces(const Number& number, std::optional<char> check_character) const {
  std::vector<std::string> pieces;
  for (std::size_t i = 0; i < number.part_count(); ++i) {
    const std::string& separator = parts_[i].separator;
    if (pieces.empty()) {
      pieces.push_back(separator);
    } else if (!separator.empty()) {
      pieces.back() += separator;
      pieces.emplace_back();
    }
    pieces.back() += number.part(i);
  }
  if (check_character && !pieces.empty()) pieces.back() += std::string{k_check_separator} + *check_character;
  return pieces;
}

std::string Scheme::longest_number() const { return encode_utf8(longest_text(*automaton_)); }

// The longest number, with every part cut down as far as the scheme allows.
std::string Scheme::example_number() const {
  std::string longest = longest_number();
  const auto parsed = parse(longest);
  const auto* whole = std::get_if<ParsedNumber>(&parsed);
  if (whole == nullptr) return longest;
  Number example = up_to(whole->number, NumberLevel::item).value_or(whole->number);
  const auto try_with = [&](std::size_t part, const std::string& text) {
    std::vector<std::string> parts = example.parts();
    parts[part] = text;
    if (auto shorter = format(parts)) example = *std::move(shorter);
  };
  for (std::size_t i = 0; i < example.parts().size(); ++i) {
    const SchemePart& part = parts_[i];
    const std::string text = example.parts()[i];
    if (part.kind == PartKind::integer) {
      const std::int64_t small = std::clamp(static_cast<std::int64_t>(i) + 1, part.smallest, part.largest);
      try_with(i, fmt::format("{:0{}}", small, part.pad_to_digits));
    } else if (part.kind == PartKind::trinomial) {
      const std::size_t digits = text.find_last_not_of("0123456789") + 1;
      try_with(i, text.substr(0, digits) +
                      fmt::format("{:0{}}", std::max<std::int64_t>(5, part.smallest), part.pad_to_digits));
    } else if (part.kind == PartKind::one_of && !part.choices.empty()) {
      try_with(i, part.choices.front());
    }
  }
  return example.text();
}

std::string check_character_data(const Number& number) {
  std::string data;
  for (const char c : to_upper_ascii(number.text()))
    if ((c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z')) data.push_back(c);
  return data;
}

std::string printed_text(const Number& number, std::optional<char> check_character) {
  return check_character ? number.text() + k_check_separator + *check_character : number.text();
}

}  // namespace sherdmark
