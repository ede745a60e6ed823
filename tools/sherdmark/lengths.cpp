#include "lengths.h"

#include <fmt/format.h>

#include <string_view>
#include <utility>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"

namespace sherdmark {

std::optional<double> decimal_option(const std::string& option, const std::string& text, double least, double most) {
  if (text.empty()) return std::nullopt;
  const auto value = parse_decimal(trim(text));
  if (!value || *value < least || *value > most)
    throw usage_error(fmt::format("{}: \"{}\" is no number from {:g} to {:g}.", option, printable(text), least, most),
                      "Write it with a point, like 4.5.");
  return value;
}

namespace {

std::optional<double> length_mm(std::string_view text) {
  constexpr std::pair<std::string_view, double> k_units[]{
      {"mm", 1.0}, {"cm", 10.0}, {"in", k_mm_per_inch}, {"\"", k_mm_per_inch}};
  for (const auto& [unit, mm] : k_units)
    if (text.ends_with(unit)) {
      const auto value = parse_decimal(trim(text.substr(0, text.size() - unit.size())));
      return value ? std::optional{*value * mm} : std::nullopt;
    }
  return parse_decimal(text);
}

}  // namespace

std::vector<double> lengths_option(const std::string& option, const std::string& text, std::size_t fewest,
                                   std::size_t most) {
  constexpr double k_longest_mm = 2000;
  std::vector<double> lengths;
  for (const std::string& piece : split(text, ',')) {
    const auto value = length_mm(trim(piece));
    if (!value || *value <= 0 || *value > k_longest_mm)
      throw usage_error(
          fmt::format("{}: \"{}\" is no length up to 2 m.", option, printable(piece)),
          "Write lengths in mm with a point and commas between them, like 175.9,239.4; inches as 6.925in,9.425in.");
    lengths.push_back(*value);
  }
  if (lengths.size() < fewest || lengths.size() > most)
    throw usage_error(fmt::format("{}: {} lengths were given.", option, lengths.size()),
                      fmt::format("Give {} to {}.", fewest, most));
  return lengths;
}

}  // namespace sherdmark
