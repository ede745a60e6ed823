#include "catalog/cell_values.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// Digits with their separators cut apart from what follows ("12.5 g" → "12.5", "g").
struct Split {
  std::string_view number;
  std::string unit;
};

Split split_unit(std::string_view text) {
  std::size_t end = 0;
  while (end < text.size()) {
    const char c = text[end];
    const bool space_between = c == ' ' && end + 1 < text.size() && is_digit(text[end + 1]);
    if (!is_digit(c) && c != '.' && c != ',' && !space_between && !((c == '-' || c == '+') && end == 0)) break;
    ++end;
  }
  std::string unit = to_lower_ascii(trim(text.substr(end)));
  if (!unit.empty() && unit.back() == '.') unit.pop_back();
  return {trim(text.substr(0, end)), unit};
}

// Groups of three after the first one: "1,234", "12 345 678".
bool in_thousands(std::string_view text, char divider) {
  const std::vector<std::string> groups = split(text, divider);
  if (groups.size() < 2 || groups[0].empty() || groups[0].size() > 3 || groups[0][0] == '0') return false;
  for (std::size_t i = 0; i < groups.size(); ++i) {
    if (i > 0 && groups[i].size() != 3) return false;
    if (!std::all_of(groups[i].begin(), groups[i].end(), is_digit)) return false;
  }
  return true;
}

std::string without(std::string_view text, char unwanted) {
  std::string kept{text};
  kept.erase(std::remove(kept.begin(), kept.end(), unwanted), kept.end());
  return kept;
}

struct PlainNumber {
  std::string text{};  // with a decimal point and nothing else; empty when it is no number
  std::string warning{};
  bool two_readings = false;  // "1,234"
};

// Brings "12,5", "1.234,5", "1 234" to a decimal point, where only one reading is possible.
PlainNumber plain_number(std::string_view written) {
  const bool negative = !written.empty() && written[0] == '-';
  const std::string sign = negative ? "-" : "";
  if (!written.empty() && (written[0] == '-' || written[0] == '+')) written.remove_prefix(1);
  std::string text{written};
  if (text.empty() || !std::any_of(text.begin(), text.end(), is_digit)) return {};
  std::string warning;
  if (text.find(' ') != std::string::npos) {
    const std::size_t mark = text.find_first_of(".,");
    if (!in_thousands(std::string_view{text}.substr(0, mark), ' ')) return {};
    text = without(text, ' ');
    warning = "The spaces between thousands were left out.";
  }
  const std::size_t comma = text.find(',');
  const std::size_t point = text.find('.');
  if (comma == std::string::npos) {
    if (text.find('.', point == std::string::npos ? 0 : point + 1) == std::string::npos) {
      if (text.front() == '.') text.insert(0, 1, '0');
      if (text.back() == '.') text.pop_back();
      return {sign + text, warning};
    }
    return {};
  }
  if (point != std::string::npos) {
    const bool comma_last = text.rfind(',') > text.rfind('.');
    const char thousands = comma_last ? '.' : ',';
    const char decimal = comma_last ? ',' : '.';
    const std::size_t at = text.find(decimal);
    if (text.find(decimal, at + 1) != std::string::npos) return {};
    if (!in_thousands(std::string_view{text}.substr(0, at), thousands)) return {};
    return {sign + without(text.substr(0, at), thousands) + "." + text.substr(at + 1),
            "The marks between thousands were left out; a number with both marks can be read in one way only."};
  }
  if (text.find(',', comma + 1) != std::string::npos) {
    if (!in_thousands(text, ',')) return {};
    return {sign + without(text, ','), "The commas between thousands were left out."};
  }
  if (in_thousands(text, ',')) return {sign + text, {}, true};
  std::replace(text.begin(), text.end(), ',', '.');
  if (text.front() == '.') text.insert(0, 1, '0');
  if (text.back() == '.') text.pop_back();
  return {sign + text, "The comma was read as a decimal point; thousands would have three digits after it."};
}

bool is_scientific(std::string_view text) {
  const std::size_t e = text.find_first_of("eE");
  if (e == std::string_view::npos || e == 0 || e + 1 >= text.size()) return false;
  const std::string_view head = text.substr(0, e);
  std::string_view power = text.substr(e + 1);
  if (power[0] == '+' || power[0] == '-') power.remove_prefix(1);
  const auto numeric = [](char c) { return is_digit(c) || c == '.' || c == ','; };
  return !power.empty() && power.size() <= 3 && std::all_of(power.begin(), power.end(), is_digit) &&
         std::all_of(head.begin(), head.end(), numeric) && is_digit(head.back()) && is_digit(head.front());
}

constexpr std::string_view k_scientific =
    "The number stands in scientific notation, as spreadsheets write long numbers "
    "and numbers with an E in them; digits may be lost.";
constexpr std::string_view k_look_up = "Look the value up, format the column as text, and type it again.";

// 12 significant digits are more than any scale shows; this takes the dust off 12.3 kg = 12300.000000000002 g.
double rounded(double value) {
  if (value == 0) return 0;
  const double scale = std::pow(10.0, 11 - std::floor(std::log10(std::abs(value))));
  return std::round(value * scale) / scale;
}

CellReading<double> refuse(std::string problem, std::string remedy) {
  return {std::nullopt, std::move(problem), std::move(remedy), {}};
}

std::string_view unit_of(Field field) {
  switch (field) {
    case Field::weight_g:
      return "g";
    case Field::volume_ml:
      return "ml";
    case Field::largest_mm:
      return "mm";
    default:
      return "cm";
  }
}

CellReading<double> check_range(CellReading<double> reading, Field field) {
  constexpr double k_deepest_cm = 10'000;  // no excavation goes down 100 m
  const double value = *reading.value;
  if (measure_of(field) == Measure::length && field != Field::largest_mm) {
    if (std::abs(value) <= k_deepest_cm) return reading;
    return refuse("No excavation is 100 m deep.", "Check the unit: depths here are in centimetres.");
  }
  if (value < 0) return refuse("The measure is below zero.", "Weigh or measure again, or leave the cell blank.");
  if (field == Field::largest_mm && value == 0)
    return refuse("No object measures 0 mm.", "Measure again, or leave the cell blank.");
  if (value > 1e9) return refuse("The measure is impossibly large.", "Check the value and the unit of the column.");
  return reading;
}

}  // namespace

CellReading<std::int64_t> read_count(std::string_view text) {
  const std::string remedy = "Write a whole number of pieces, 1 or more, or leave the cell blank if nobody counted.";
  std::string warning;
  std::optional<std::int64_t> value = parse_integer(text);
  if (!value) {
    if (is_scientific(text)) return {std::nullopt, std::string{k_scientific}, std::string{k_look_up}, {}};
    PlainNumber plain = plain_number(text);
    if (plain.two_readings) {
      plain.text = without(plain.text, ',');
      plain.warning = "The comma between thousands was left out; a count cannot have a decimal part.";
    }
    const std::size_t point = plain.text.find('.');
    const bool zeros = point != std::string::npos && plain.text.find_first_not_of('0', point + 1) == std::string::npos;
    value = parse_integer(zeros ? std::string_view{plain.text}.substr(0, point) : std::string_view{plain.text});
    warning = !plain.warning.empty() ? plain.warning : zeros ? "The zeros after the decimal point were left out." : "";
    if (!value && !plain.text.empty() && point != std::string::npos)
      return {std::nullopt, "The count is not a whole number.", remedy, {}};
    if (!value) return {std::nullopt, "The count is not a number.", remedy, {}};
  }
  if (*value < 1) return {std::nullopt, "The count is below 1.", remedy, {}};
  if (*value > 1'000'000'000) return {std::nullopt, "The count is impossibly large.", remedy, {}};
  return {value, {}, {}, std::move(warning)};
}

CellReading<double> read_quantity(std::string_view text, const Column& column) {
  if (const auto plain = parse_decimal(text))
    return check_range({column.factor == 1.0 ? *plain : rounded(*plain * column.factor), {}, {}, {}}, column.field);
  if (is_scientific(text)) return refuse(std::string{k_scientific}, std::string{k_look_up});
  const Split cell = split_unit(text);
  double factor = column.factor;
  if (!cell.unit.empty()) {
    const double own = unit_factor(column.field, cell.unit);
    if (own == 0)
      return refuse(fmt::format("This is not a number in {}.", unit_of(column.field)),
                    fmt::format("Write only the number, in {}.",
                                column.unit.empty() ? unit_of(column.field) : std::string_view{column.unit}));
    if (!column.unit.empty() && own != column.factor)
      return refuse(fmt::format("The cell says {}, the header says {}.", cell.unit, column.unit),
                    "Write the number in the unit of the header.");
    factor = own;
  }
  PlainNumber plain = plain_number(cell.number);
  if (plain.two_readings)
    return refuse("The comma may stand between thousands or be a decimal comma.",
                  "Write the number without a mark between thousands and with a decimal point.");
  const auto value = parse_decimal(plain.text);
  if (!value)
    return refuse("This is not a number.", fmt::format("Write only the number, in {}.", unit_of(column.field)));
  return check_range({factor == 1.0 ? *value : rounded(*value * factor), {}, {}, std::move(plain.warning)},
                     column.field);
}

CellReading<DepthRange> read_depth_range(std::string_view text, const Column& column) {
  std::size_t divider = std::string_view::npos;
  std::size_t width = 1;
  const std::string lower = to_lower_ascii(text);
  if (const std::size_t to = lower.find(" to "); to != std::string::npos) {
    divider = to;
    width = 4;
  } else {
    divider = text.find_first_of("-/", 1);  // a dash at the very start is a sign
  }
  if (text.empty() || divider == std::string_view::npos) {
    CellReading<double> one = read_quantity(text, column);
    if (!one.value) return {std::nullopt, std::move(one.problem), std::move(one.remedy), {}};
    return {DepthRange{*one.value, *one.value}, {}, {}, std::move(one.warning)};
  }
  const std::string_view first = trim(text.substr(0, divider));
  const std::string_view second = trim(text.substr(divider + width));
  Column unit_column = column;  // "10-20 cm": the unit of the second number is that of the first
  const std::string unit = split_unit(second).unit;
  if (split_unit(first).unit.empty() && unit_factor(column.field, unit) > 0 && column.unit.empty())
    unit_column.factor = unit_factor(column.field, unit);
  CellReading<double> top = read_quantity(first, unit_column);
  CellReading<double> bottom = read_quantity(second, column);
  if (!top.value || !bottom.value)
    return {std::nullopt, "This is not a depth, nor one depth and another.", "Write it as 10-20, in centimetres.", {}};
  return {DepthRange{*top.value, *bottom.value}, {}, {}, top.warning + bottom.warning};
}

std::string_view general_damage(std::string_view text) {
  if (text.empty() || text[0] != '#') return {};
  if (text.size() >= 3 && text.find_first_not_of('#') == std::string_view::npos)
    return "The cell was too narrow when the spreadsheet saved it; only ##### is left of the value.";
  constexpr std::array<std::string_view, 9> k_errors = {"#N/A",  "#REF!",  "#NAME?",  "#VALUE!",      "#DIV/0!",
                                                        "#NUM!", "#NULL!", "#SPILL!", "#GETTING_DATA"};
  if (std::find(k_errors.begin(), k_errors.end(), text) != k_errors.end())
    return "This is a spreadsheet's error value, not a value.";
  return {};
}

}  // namespace sherdmark
