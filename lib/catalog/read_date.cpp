#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdint>
#include <vector>

#include "sherdmark/base/text.h"
#include "sherdmark/catalog/edtf.h"

namespace sherdmark {
namespace {

constexpr std::array<std::string_view, 12> k_month_names = {"january",   "february", "march",    "april",
                                                            "may",       "june",     "july",     "august",
                                                            "september", "october",  "november", "december"};

// 1 to 12 for a month's name or its first three letters or more ("sept" too); 0 for anything else.
int month_named(std::string_view word) {
  const std::string lower = to_lower_ascii(word);
  if (lower.size() < 3) return 0;
  for (std::size_t i = 0; i < k_month_names.size(); ++i)
    if (k_month_names[i].substr(0, lower.size()) == lower) return static_cast<int>(i) + 1;
  return 0;
}

// Words of digits or of letters; everything between them is a divider.
std::vector<std::string_view> words_of(std::string_view text) {
  std::vector<std::string_view> words;
  const auto kind = [](char c) {
    if (c >= '0' && c <= '9') return 1;
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (static_cast<unsigned char>(c) >= 0x80) ? 2 : 0;
  };
  std::size_t start = 0;
  for (std::size_t i = 0; i <= text.size(); ++i) {
    const int here = i < text.size() ? kind(text[i]) : 0;
    if (i > start && here != kind(text[start])) {
      if (kind(text[start]) != 0) words.push_back(text.substr(start, i - start));
      start = i;
    }
  }
  return words;
}

std::int64_t number(std::string_view word) { return parse_integer(word).value_or(-1); }

DateReading refuse(std::string problem, std::string remedy) { return {{}, std::move(problem), std::move(remedy), {}}; }

DateReading accept(std::int64_t year, std::int64_t month, std::int64_t day) {
  std::string text = fmt::format("{:04}-{:02}-{:02}", year, month, day);
  if (const auto problem = edtf_problem(text))
    return refuse(fmt::format("This is no date: {}.", *problem),
                  "Look it up in the field notes and write it as "
                  "2031-03-10.");
  return {std::move(text), {}, {}, {}};
}

constexpr std::string_view k_write_whole = "Write the whole date as 2031-03-10.";

// 3/10/2031 and its like: three numbers, the order from the house standard.
DateReading read_numbers(const std::vector<std::string_view>& words, std::string_view order) {
  if (words[0].size() == 4) return accept(number(words[0]), number(words[1]), number(words[2]));
  if (words[2].size() != 4 || words[0].size() > 2 || words[1].size() > 2)
    return refuse("The year has only two digits, so day, month and year cannot be told apart.",
                  std::string{k_write_whole});
  const std::int64_t first = number(words[0]);
  const std::int64_t second = number(words[1]);
  if (order == "mdy" || order == "dmy") {
    const bool month_first = order == "mdy";
    if ((month_first ? first : second) > 12)
      return refuse(fmt::format("The house standard reads such dates as {}, and by that there is no such month.",
                                month_first ? "month/day/year" : "day/month/year"),
                    std::string{k_write_whole});
    return month_first ? accept(number(words[2]), first, second) : accept(number(words[2]), second, first);
  }
  if (first == second) return accept(number(words[2]), first, second);
  return refuse("Day and month cannot be told apart, and the house standard does not say which comes first.",
                "Write the date as 2031-03-10, or set the order of dates in the house standard.");
}

// Forms with a month's name: "10 March 2031", "Mar 10, 2031", "March 2031", "10-Mar", "Mar-31".
DateReading read_named_month(const std::vector<std::string_view>& words, std::size_t at, int month) {
  std::vector<std::string_view> numbers;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const bool ending =
        i > 0 && i != at && (words[i] == "st" || words[i] == "nd" || words[i] == "rd" || words[i] == "th");
    if (i != at && !ending) numbers.push_back(words[i]);
  }
  if (numbers.size() == 1 && numbers[0].size() == 4 && number(numbers[0]) >= 0)
    return {fmt::format("{:04}-{:02}", number(numbers[0]), month), {}, {}, {}};
  if (numbers.size() == 1)
    return refuse("Day and month, or month and year: a spreadsheet shortens dates like this.",
                  std::string{k_write_whole});
  if (numbers.size() == 2 && numbers[1].size() == 4 && numbers[0].size() <= 2)
    return accept(number(numbers[1]), month, number(numbers[0]));
  if (numbers.size() == 2 && numbers[0].size() == 4 && numbers[1].size() <= 2)
    return accept(number(numbers[0]), month, number(numbers[1]));
  return refuse("The year has only two digits, or the date has too many parts.", std::string{k_write_whole});
}

bool is_midnight(std::string_view rest) {
  const std::string_view time = trim(rest);
  return time == "00:00:00" || time == "00:00" || time == "0:00:00" || time == "0:00" || time == "12:00:00 AM";
}

DateReading refuse_day_number(std::int64_t serial) {
  const std::chrono::year_month_day date{std::chrono::sys_days{std::chrono::year{1899} / 12 / 30} +
                                         std::chrono::days{serial}};
  return refuse(
      fmt::format("This looks like the number a spreadsheet keeps for a day; it would be {:04}-{:02}-{:02}, or "
                  "four years and a day later in some workbooks.",
                  static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                  static_cast<unsigned>(date.day())),
      "Format the column as text, and write the date as 2031-03-10.");
}

}  // namespace

DateReading read_date(std::string_view text, std::string_view date_order) {
  text = trim(text);
  const auto problem = edtf_problem(text);
  if (!problem) return {std::string{text}, {}, {}, {}};
  const std::size_t space = text.find(' ');
  if (space != std::string_view::npos && is_midnight(text.substr(space))) {
    DateReading reading = read_date(text.substr(0, space), date_order);
    if (reading.problem.empty() && reading.warning.empty())
      reading.warning = "A spreadsheet added the time of midnight; it was left out.";
    return reading;
  }
  const std::vector<std::string_view> words = words_of(text);
  const auto digits = [](std::string_view word) { return word[0] >= '0' && word[0] <= '9'; };
  if (words.size() == 3 && std::all_of(words.begin(), words.end(), digits) &&
      (text.find('-') == std::string_view::npos || words[0].size() <= 2 || words[1].size() < 2 || words[2].size() < 2))
    return read_numbers(words, date_order);
  for (std::size_t i = 0; i < words.size() && words.size() <= 5; ++i) {
    const int month = month_named(words[i]);
    if (month > 0 && words.size() > 1) return read_named_month(words, i, month);
  }
  if (words.size() == 1 && text.size() == 5 && digits(text) && words[0].size() == 5 && number(text) >= 10'000)
    return refuse_day_number(number(text));
  return refuse(fmt::format("This is no date: {}.", *problem),
                "Write 2031-03-10, or EDTF where less is known: 2031-03, 2031~ (about), 203X, 2031-03-10/2031-03-14.");
}

}  // namespace sherdmark
