#include "lengths.h"

#include <fmt/format.h>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {

std::optional<double> decimal_option(const std::string& option, const std::string& text, double least, double most) {
  if (text.empty()) return std::nullopt;
  const auto value = parse_decimal(trim(text));
  if (!value || *value < least || *value > most)
    throw usage_error(fmt::format("{}: \"{}\" is no number from {:g} to {:g}.", option, printable(text), least, most),
                      "Write it with a point, like 4.5.");
  return value;
}

std::vector<double> lengths_option(const std::string& option, const std::string& text, std::size_t fewest,
                                   std::size_t most) {
  constexpr double k_longest_mm = 2000;
  std::vector<double> lengths;
  for (const std::string& piece : split(text, ',')) {
    const auto value = parse_decimal(trim(piece));
    if (!value || *value <= 0 || *value > k_longest_mm)
      throw usage_error(fmt::format("{}: \"{}\" is no length in millimetres.", option, printable(piece)),
                        "Write lengths with a point and commas between them, like 175.9,239.4.");
    lengths.push_back(*value);
  }
  if (lengths.size() < fewest || lengths.size() > most)
    throw usage_error(fmt::format("{}: {} lengths were given.", option, lengths.size()),
                      fmt::format("Give {} to {}.", fewest, most));
  return lengths;
}

}  // namespace sherdmark
