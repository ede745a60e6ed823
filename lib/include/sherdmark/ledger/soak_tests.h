// Soak tests: a printed scrap laid in the adhesive, and whether the toner held. Only a test of this very printer,
// toner, paper and adhesive, passed and not expired, lets anybody say "safe to use". Free functions over a Ledger.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

struct SoakTest {
  std::string printer;
  std::string toner;
  std::string paper;  // the material in words
  std::string adhesive;
  std::string date;     // "2031-05-04": the day the scrap was judged
  std::string expires;  // the last day on which it holds
  std::string person;   // who judged it
  bool passed = true;
};

// One event, by `actor`, who judged the scrap. `expires` is worked out: HouseStandard::soak_test_days after `date`.
// usage_error when a field is empty or the date is none or lies after `today`.
SoakTest record_soak_test(Ledger& ledger, const Actor& actor, SoakTest test, const std::string& today);
[[nodiscard]] std::vector<SoakTest> soak_tests(const Ledger& ledger);  // newest first

// What may be said of labels from one printer on one paper, on one day. Only the newest test of a printer, toner, paper
// and adhesive counts: a failed one ends what an older one allowed.
struct SoakStanding {
  std::vector<SoakTest> valid;      // passed and not expired, one for each toner and adhesive
  std::optional<SoakTest> expired;  // the newest that passed once and holds no more
  std::vector<SoakTest> failed;     // one for each toner and adhesive whose newest test failed
  [[nodiscard]] bool safe() const { return !valid.empty(); }
  // A few sentences for a sheet, the words "safe to use" only when a test is valid.
  std::string text;
};
// An empty `printer` says that nobody named one: then nothing is known to hold.
[[nodiscard]] SoakStanding soak_standing(const std::vector<SoakTest>& tests, std::string_view printer,
                                         std::string_view paper, std::string_view today);

// "2031-05-04" and so many days later; std::nullopt when the text is no day of the calendar.
[[nodiscard]] std::optional<std::string> days_after(std::string_view date, int days);

}  // namespace sherdmark
