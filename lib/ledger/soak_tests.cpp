#include "sherdmark/ledger/soak_tests.h"

#include <fmt/format.h>

#include <chrono>
#include <set>
#include <tuple>

#include "ledger/core.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

std::optional<std::chrono::year_month_day> parse_day(std::string_view text) {
  const std::vector<std::string> parts = split(text, '-');
  if (text.size() != 10 || parts.size() != 3 || parts[0].size() != 4 || parts[1].size() != 2) return std::nullopt;
  const auto year = parse_integer(parts[0]);
  const auto month = parse_integer(parts[1]);
  const auto day = parse_integer(parts[2]);
  if (!year || !month || !day || *year < 0 || *month < 1 || *day < 1) return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year{static_cast<int>(*year)},
                                         std::chrono::month{static_cast<unsigned>(*month)},
                                         std::chrono::day{static_cast<unsigned>(*day)}};
  if (!date.ok()) return std::nullopt;
  return date;
}

std::string day_text(std::chrono::year_month_day date) {
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                     static_cast<unsigned>(date.day()));
}

std::string need(std::string_view what, const std::string& value) {
  std::string text{trim(value)};
  if (text.empty() || printable(text) != text)
    throw usage_error(fmt::format("the {} of the soak test is missing or not fit to print", what),
                      "a soak test holds for one printer, toner, paper and adhesive: name all four");
  return text;
}

bool same(std::string_view a, std::string_view b) { return to_lower_ascii(trim(a)) == to_lower_ascii(trim(b)); }

std::string failed_text(const SoakStanding& standing, std::string_view printer) {
  std::vector<std::string> each;
  for (const SoakTest& test : standing.failed)
    each.push_back(fmt::format("The soak test of {} failed with {} (toner {}): do not glue labels from \"{}\" with it.",
                               test.date, test.adhesive, test.toner, printer));
  return join(each, " ");
}

std::string standing_text(const SoakStanding& standing, std::string_view printer) {
  if (printer.empty())
    return "No printer was named, so no soak test is known to hold for these labels: soak a printed scrap in the "
           "adhesive before any is glued.";
  if (standing.safe()) {
    std::vector<std::string> each;
    for (const SoakTest& test : standing.valid)
      each.push_back(fmt::format("with {} (toner {}, soak test of {}, holds until {})", test.adhesive, test.toner,
                                 test.date, test.expires));
    return fmt::format("Printed on \"{}\", safe to use {}.{}{}", printer, join(each, "; "),
                       standing.failed.empty() ? "" : " ", failed_text(standing, printer));
  }
  if (!standing.failed.empty()) return failed_text(standing, printer);
  if (standing.expired)
    return fmt::format("The soak test of {} for \"{}\" held until {}: soak a printed scrap again before any is glued.",
                       standing.expired->date, printer, standing.expired->expires);
  return fmt::format(
      "No soak test of \"{}\" on this paper is recorded: soak a printed scrap in the adhesive before any "
      "label is glued.",
      printer);
}

}  // namespace

std::optional<std::string> days_after(std::string_view date, int days) {
  const auto day = parse_day(date);
  if (!day) return std::nullopt;
  return day_text(std::chrono::year_month_day{std::chrono::sys_days{*day} + std::chrono::days{days}});
}

SoakTest record_soak_test(Ledger& ledger, const Actor& actor, SoakTest test, const std::string& today) {
  test.printer = need("printer", test.printer);
  test.toner = need("toner", test.toner);
  test.paper = need("paper", test.paper);
  test.adhesive = need("adhesive", test.adhesive);
  const auto expires = days_after(test.date, ledger.standard().soak_test_days);
  if (!expires) throw usage_error(fmt::format("\"{}\" is no date", printable(test.date)), "write it like 2031-05-04");
  if (test.date > today)
    throw usage_error(fmt::format("the soak test's date, {}, is still to come", test.date),
                      "record a test once the scrap has been judged");
  test.expires = *expires;
  test.person = actor.person;
  JsonWriter out;
  out.begin_object().key("adhesive").text(test.adhesive).key("date").text(test.date).key("expires").text(test.expires);
  out.key("paper").text(test.paper).key("passed").boolean(test.passed).key("printer").text(test.printer);
  out.key("toner").text(test.toner).end_object();
  core_of(ledger).write(actor, "soak test", out.take());
  return test;
}

std::vector<SoakTest> soak_tests(const Ledger& ledger) {
  std::vector<SoakTest> tests;
  Statement rows = core_of(ledger).db.prepare(
      "SELECT printer, toner, paper, adhesive, date, expires, person, passed FROM soak_tests ORDER BY date DESC, id "
      "DESC");
  rows.with();
  while (rows.step())
    tests.push_back({rows.text(0), rows.text(1), rows.text(2), rows.text(3), rows.text(4), rows.text(5), rows.text(6),
                     rows.integer(7) != 0});
  return tests;
}

SoakStanding soak_standing(const std::vector<SoakTest>& tests, std::string_view printer, std::string_view paper,
                           std::string_view today) {
  SoakStanding standing;
  std::set<std::pair<std::string, std::string>> judged;  // toner and adhesive; the newest test comes first
  for (const SoakTest& test : tests) {
    if (printer.empty() || !same(test.printer, printer) || !same(test.paper, paper)) continue;
    if (!judged.emplace(to_lower_ascii(test.toner), to_lower_ascii(test.adhesive)).second) continue;
    if (!test.passed) {
      standing.failed.push_back(test);
    } else if (test.expires < today) {
      if (!standing.expired) standing.expired = test;
    } else {
      standing.valid.push_back(test);
    }
  }
  standing.text = standing_text(standing, printer);
  return standing;
}

}  // namespace sherdmark
