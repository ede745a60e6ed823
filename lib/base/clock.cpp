#include "sherdmark/base/clock.h"

#include <fmt/format.h>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {

TimePoint SystemClock::now() { return std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now()); }

std::string format_time(TimePoint time) {
  const auto day = std::chrono::floor<std::chrono::days>(time);
  const std::chrono::year_month_day date{day};
  const std::chrono::hh_mm_ss clock{time - day};
  return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), clock.hours().count(),
                     clock.minutes().count(), clock.seconds().count());
}

std::string time_in_words(std::string_view stored) {
  if (stored.size() != 20 || stored[10] != 'T' || stored[19] != 'Z') return std::string{stored};
  return fmt::format("{} {} UTC", stored.substr(0, 10), stored.substr(11, 5));
}

TimePoint parse_time(const std::string& text) {
  const auto fail = [&text] {
    return data_error(fmt::format("\"{}\" is not a time.", printable(text)), {}, "Write it like 2031-05-04T13:45:10Z.");
  };
  if (text.size() != 20 || text[4] != '-' || text[7] != '-' || text[10] != 'T' || text[13] != ':' || text[16] != ':' ||
      text[19] != 'Z')
    throw fail();
  const auto number = [&](std::size_t from, std::size_t length) {
    const auto value = parse_integer(std::string_view{text}.substr(from, length));
    if (!value || *value < 0) throw fail();
    return static_cast<int>(*value);
  };
  const std::chrono::year_month_day date{std::chrono::year{number(0, 4)},
                                         std::chrono::month{static_cast<unsigned>(number(5, 2))},
                                         std::chrono::day{static_cast<unsigned>(number(8, 2))}};
  const int hour = number(11, 2);
  const int minute = number(14, 2);
  const int second = number(17, 2);
  if (!date.ok() || hour > 23 || minute > 59 || second > 59) throw fail();
  return std::chrono::sys_days{date} + std::chrono::hours{hour} + std::chrono::minutes{minute} +
         std::chrono::seconds{second};
}

}  // namespace sherdmark
