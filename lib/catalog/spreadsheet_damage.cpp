#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>
#include <cmath>
#include <cstdint>

#include "catalog/cell_values.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr std::array<std::string_view, 12> k_months = {"jan", "feb", "mar", "apr", "may", "jun",
                                                       "jul", "aug", "sep", "oct", "nov", "dec"};

bool all_digits(std::string_view text) {
  return !text.empty() && std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

int month_of(std::string_view word) {
  const auto found = std::find(k_months.begin(), k_months.end(), to_lower_ascii(word).substr(0, 3));
  return word.size() >= 3 && found != k_months.end() ? static_cast<int>(found - k_months.begin()) + 1 : 0;
}

void add(std::vector<std::string>& list, std::string text) {
  if (std::find(list.begin(), list.end(), text) == list.end()) list.push_back(std::move(text));
}

// What someone may have typed to get this day: two numbers, or three, with the dividers that spreadsheets take.
std::vector<std::string> typed_as_date(std::int64_t year, std::int64_t month, std::int64_t day) {
  std::vector<std::string> originals;
  for (const std::string_view divider : {"-", "/", "."}) {
    add(originals, fmt::format("{}{}{}", month, divider, day));
    add(originals, fmt::format("{}{}{}", day, divider, month));
  }
  if (day == 1) {  // "3-31" and "3-2031" become the first of a month
    add(originals, fmt::format("{}-{}", month, year % 100));
    add(originals, fmt::format("{}-{}", month, year));
  }
  if (year > 0)
    for (const std::string_view divider : {"-", ".", "/"}) {
      add(originals, fmt::format("{}{}{}{}{}", year, divider, month, divider, day));
      add(originals, fmt::format("{}{}{}{}{}", month, divider, day, divider, year));
      add(originals, fmt::format("{}{}{}{}{}", month, divider, day, divider, year % 100));
    }
  return originals;
}

// "10-Mar", "Mar-10", "10-Mar-31".
Damage named_month(std::string_view text) {
  const std::vector<std::string> parts = split(text, '-');
  if (parts.size() < 2 || parts.size() > 3) return {};
  const bool name_first = month_of(parts[0]) > 0;
  const int month = month_of(parts[name_first ? 0 : 1]);
  const std::string& other = parts[name_first ? 1 : 0];
  const auto short_name = parts[name_first ? 0 : 1].size();
  if (month == 0 || short_name > 9 || !all_digits(other) || other.size() > 4) return {};
  if (parts.size() == 3 && (!all_digits(parts[2]) || parts[2].size() > 4)) return {};
  Damage damage{Damage::Kind::date, {}};
  const std::int64_t number = *parse_integer(other);
  if (parts.size() == 3) {
    damage.originals = typed_as_date(*parse_integer(parts[2]), month, number);
  } else {
    add(damage.originals, fmt::format("{}-{}", month, number));
    add(damage.originals, fmt::format("{}-{}", number, month));
    add(damage.originals, fmt::format("{}/{}", month, number));
    add(damage.originals, fmt::format("{}/{}", number, month));
    add(damage.originals, fmt::format("{}.{}", month, number));
    add(damage.originals, fmt::format("{}.{}", number, month));
  }
  return damage;
}

// "3/10/2031", "2031-03-10", "2031-03-10 00:00:00".
Damage numeric_date(std::string_view text) {
  const std::size_t space = text.find(' ');
  const bool timed = space != std::string_view::npos && text.find(':', space) != std::string_view::npos;
  const std::string_view date = timed ? text.substr(0, space) : text;
  const char divider = date.find('/') != std::string_view::npos ? '/' : '-';
  const std::vector<std::string> parts = split(date, divider);
  if (parts.size() != 3 || !std::all_of(parts.begin(), parts.end(), all_digits)) return {};
  const bool year_first = parts[0].size() == 4 && parts[1].size() <= 2 && parts[2].size() <= 2;
  const bool year_last = divider == '/' && parts[2].size() == 4 && parts[0].size() <= 2 && parts[1].size() <= 2;
  if (!year_first && !year_last) return {};
  const std::int64_t year = *parse_integer(parts[year_first ? 0 : 2]);
  const std::int64_t month = *parse_integer(parts[year_first ? 1 : 0]);
  const std::int64_t day = *parse_integer(parts[year_first ? 2 : 1]);
  const bool possible = (month >= 1 && month <= 12 && day <= 31) || (day >= 1 && day <= 12 && month <= 31);
  if (!possible || year < 1900) return {};
  return {Damage::Kind::date, typed_as_date(year, month, day)};
}

// "2.20E+02".
Damage scientific(std::string_view text) {
  const std::size_t e = text.find_first_of("eE");
  if (e == std::string_view::npos || e + 2 >= text.size() || (text[e + 1] != '+' && text[e + 1] != '-')) return {};
  std::string head{text.substr(0, e)};
  std::replace(head.begin(), head.end(), ',', '.');
  const auto mantissa = parse_decimal(head);
  const auto power = text[e + 1] == '+' ? parse_integer(text.substr(e + 2)) : std::nullopt;
  if (!mantissa) return {};
  Damage damage{Damage::Kind::scientific, {}};
  if (!power || *power > 300 || *power < 0) return damage;
  for (int digits = 1; digits <= 4; ++digits) {  // 2.20E+02 was 2E2, 22E1 or 220
    const double whole = *mantissa * std::pow(10.0, digits - 1);
    const std::int64_t left = *power - (digits - 1);
    if (left < 0 || whole > 1e6 || std::abs(whole - std::round(whole)) > 1e-9) continue;
    add(damage.originals, fmt::format("{}E{}", static_cast<std::int64_t>(std::llround(whole)), left));
  }
  return damage;
}

}  // namespace

std::vector<std::string> before_scientific(std::string_view digits) {
  std::vector<std::string> originals;
  if (!all_digits(digits) || digits.size() > 18) return originals;
  const std::size_t last = digits.find_last_not_of('0');
  if (last == std::string_view::npos) return originals;
  for (std::size_t zeros = digits.size() - last - 1; zeros > 0; --zeros)
    add(originals, fmt::format("{}E{}", digits.substr(0, digits.size() - zeros), zeros));
  return originals;
}

Damage find_damage(std::string_view text) {
  if (text.size() < 4 || text.size() > 30) return {};
  for (Damage damage : {named_month(text), numeric_date(text), scientific(text)})
    if (damage.kind != Damage::Kind::none) return damage;
  if (text.size() == 5 && all_digits(text) && text >= "20000" && text <= "60000") {  // 1954 to 2064
    const std::chrono::year_month_day date{std::chrono::sys_days{std::chrono::year{1899} / 12 / 30} +
                                           std::chrono::days{*parse_integer(text)}};
    return {Damage::Kind::day_number, typed_as_date(static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                                                    static_cast<unsigned>(date.day()))};
  }
  return {};
}

}  // namespace sherdmark
