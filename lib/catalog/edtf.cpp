#include "sherdmark/catalog/edtf.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cstdint>

#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }

bool all_digits(std::string_view text) { return !text.empty() && std::all_of(text.begin(), text.end(), is_digit); }

int two_digits(std::string_view text) { return (text[0] - '0') * 10 + (text[1] - '0'); }

// The days a date may mean, as sortable numbers year * 10000 + month * 100 + day.
struct Span {
  std::int64_t earliest = 0;
  std::int64_t latest = 0;
};

struct Outcome {
  Span span{};
  std::string problem{};
};

Outcome wrong(std::string problem) { return {{}, std::move(problem)}; }

constexpr std::string_view k_not_a_date = "it is not a date in the form 2031, 2031-03 or 2031-03-10";

int last_day(std::int64_t year, int month) {
  const auto proleptic = std::chrono::year{static_cast<int>(((year % 400) + 400) % 400 + 400)};
  const auto last = std::chrono::year_month_day_last{
      proleptic, std::chrono::month_day_last{std::chrono::month{static_cast<unsigned>(month)}}};
  return static_cast<int>(static_cast<unsigned>(last.day()));
}

// "Y" and more than four digits (level 1).
Outcome parse_long_year(std::string_view text) {
  const bool negative = text.size() > 1 && text[1] == '-';
  const std::string_view digits = text.substr(negative ? 2 : 1);
  if (!all_digits(digits) || digits.size() < 5 || digits.size() > 12 || digits[0] == '0')
    return wrong("a year that begins with Y has five digits or more");
  const std::int64_t year = (negative ? -1 : 1) * *parse_integer(digits);
  return {{year * 10'000 + 101, year * 10'000 + 1231}, {}};
}

// Year of four characters; X stands for a digit not known, from the right.
Outcome parse_year(std::string_view text, bool negative) {
  const std::size_t known = std::min(text.find('X'), text.size());
  if (known > 0 && !all_digits(text.substr(0, known))) return wrong(std::string{k_not_a_date});
  if (text.find_first_not_of('X', known) != std::string_view::npos || known < 2)
    return wrong("X stands for one or two unknown digits at the end of a year, such as 203X");
  std::string low{text};
  std::string high{text};
  std::replace(low.begin(), low.end(), 'X', '0');
  std::replace(high.begin(), high.end(), 'X', '9');
  std::int64_t first = *parse_integer(low);
  std::int64_t last = *parse_integer(high);
  if (negative) {
    if (last == 0) return wrong("there is no year -0000");
    const std::int64_t keep = first;
    first = -last;
    last = -keep;
  }
  return {{first, last}, {}};
}

Outcome parse_day(const Span& years, int month, std::string_view day) {
  const int most = month == 0 ? 31 : last_day(years.earliest, month);
  if (day == "XX") {
    const int low = month == 0 ? 1 : month;
    return {{years.earliest * 10'000 + low * 100 + 1, years.latest * 10'000 + (month == 0 ? 12 : month) * 100 + most},
            {}};
  }
  if (!all_digits(day)) return wrong("the day is not a number of two digits");
  if (month == 0) return wrong("a day cannot be known when the month is not");
  const int number = two_digits(day);
  if (number < 1 || number > most) return wrong(fmt::format("that month has no day {}", number));
  return {{years.earliest * 10'000 + month * 100 + number, years.latest * 10'000 + month * 100 + number}, {}};
}

// A date without qualifier or time.
Outcome parse_plain(std::string_view text) {
  if (text.substr(0, 1) == "Y") return parse_long_year(text);
  const bool negative = text.substr(0, 1) == "-";
  if (negative) text.remove_prefix(1);
  if (text.size() != 4 && text.size() != 7 && text.size() != 10) return wrong(std::string{k_not_a_date});
  Outcome years = parse_year(text.substr(0, 4), negative);
  if (!years.problem.empty()) return years;
  const bool year_known = years.span.earliest == years.span.latest;
  if (text.size() == 4) return {{years.span.earliest * 10'000 + 101, years.span.latest * 10'000 + 1231}, {}};
  if (text[4] != '-') return wrong(std::string{k_not_a_date});
  if (!year_known) return wrong("a month cannot be known when the year is not");
  const std::string_view month_text = text.substr(5, 2);
  int month = 0;
  if (month_text != "XX") {
    if (!all_digits(month_text)) return wrong("the month is not a number of two digits");
    month = two_digits(month_text);
    const bool season = month >= 21 && month <= 24;
    if (season && text.size() == 7)
      return {{years.span.earliest * 10'000 + 101, years.span.latest * 10'000 + 1231}, {}};
    if (month < 1 || month > 12) return wrong(fmt::format("there is no month {:02}", month));
  }
  if (text.size() == 7) return parse_day(years.span, month, "XX");
  if (text[7] != '-') return wrong(std::string{k_not_a_date});
  return parse_day(years.span, month, text.substr(8, 2));
}

// "T13:45:10", "…Z", "…+02", "…-05:30" (level 0).
bool is_time(std::string_view text) {
  const auto in_range = [](std::string_view two, int most) { return all_digits(two) && two_digits(two) <= most; };
  if (text.size() < 8 || text[2] != ':' || text[5] != ':') return false;
  if (!in_range(text.substr(0, 2), 24) || !in_range(text.substr(3, 2), 59) || !in_range(text.substr(6, 2), 59))
    return false;
  if (two_digits(text) == 24 && (two_digits(text.substr(3)) != 0 || two_digits(text.substr(6)) != 0)) return false;
  const std::string_view zone = text.substr(8);
  if (zone.empty() || zone == "Z") return true;
  if (zone[0] != '+' && zone[0] != '-') return false;
  const bool hours = zone.size() >= 3 && in_range(zone.substr(1, 2), 14);
  return hours && (zone.size() == 3 || (zone.size() == 6 && zone[3] == ':' && in_range(zone.substr(4, 2), 59)));
}

// A date with qualifier; a time only outside intervals.
Outcome parse_one(std::string_view text, bool time_allowed) {
  const std::size_t t = text.find('T');
  if (t != std::string_view::npos) {
    if (!time_allowed) return wrong("an interval takes dates without a time");
    const std::string_view date = text.substr(0, t);
    if (date.size() != 10 || date.find('X') != std::string_view::npos || !is_time(text.substr(t + 1)))
      return wrong("the time is not in the form 2031-03-10T13:45:10");
    return parse_plain(date);
  }
  if (!text.empty() && (text.back() == '?' || text.back() == '~' || text.back() == '%')) text.remove_suffix(1);
  return parse_plain(text);
}

}  // namespace

std::optional<std::string> edtf_problem(std::string_view text) {
  if (text.empty()) return "it is empty";
  const std::size_t slash = text.find('/');
  if (slash == std::string_view::npos) {
    const Outcome one = parse_one(text, true);
    return one.problem.empty() ? std::nullopt : std::optional{one.problem};
  }
  const std::string_view start = text.substr(0, slash);
  const std::string_view end = text.substr(slash + 1);
  const auto is_open = [](std::string_view part) { return part.empty() || part == ".."; };
  if (is_open(start) && is_open(end)) return "an interval needs a date on one side at least";
  Outcome first;
  Outcome last;
  if (!is_open(start)) first = parse_one(start, false);
  if (!is_open(end)) last = parse_one(end, false);
  if (!first.problem.empty()) return first.problem;
  if (!last.problem.empty()) return last.problem;
  if (!is_open(start) && !is_open(end) && last.span.latest < first.span.earliest)
    return "the interval ends before it begins";
  return std::nullopt;
}

}  // namespace sherdmark
