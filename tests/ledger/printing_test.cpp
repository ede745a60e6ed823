// Printers by name and soak tests: kept with their past, and the words that follow from them.
#include <gtest/gtest.h>

#include "ledger/ledger_samples.h"
#include "sherdmark/base/error.h"
#include "sherdmark/ledger/label_sheets.h"
#include "sherdmark/ledger/plan_labels.h"

namespace sherdmark {
namespace {

using testing::FreshLedger;

PrinterRecord front_office(double scale_x) {
  PrinterRecord printer;
  printer.name = "Front office";
  printer.description = {.dpi = 600, .scale_x = scale_x, .scale_y = 0.99, .skew_deg = 0.2, .least_module_dots = 5};
  printer.paper = "letter";
  return printer;
}

TEST(Printers, a_second_calibration_replaces_the_first_and_the_history_keeps_both) {
  FreshLedger fresh;
  EXPECT_FALSE(find_printer(fresh.ledger, "Front office"));
  describe_printer(fresh.ledger, fresh.ana, front_office(1.01));
  describe_printer(fresh.ledger, fresh.ana, front_office(1.02));
  ASSERT_EQ(printers(fresh.ledger).size(), 1U);
  const auto found = find_printer(fresh.ledger, "Front office");
  ASSERT_TRUE(found);
  EXPECT_EQ(found->description.scale_x, 1.02);
  EXPECT_EQ(found->description.least_module_dots, 5);
  EXPECT_EQ(found->person, "Ana Quill");
  const auto past = fresh.ledger.history("Front office");
  ASSERT_EQ(past.size(), 2U);
  EXPECT_EQ(
      past[0].text,
      "Printer \"Front office\" was calibrated (measured): 101.00 % across, 99.00 % down, turned by 0.20 degrees.");
  EXPECT_TRUE(fresh.ledger.verify().good());
  fresh.ledger.rebuild();
  EXPECT_EQ(find_printer(fresh.ledger, "Front office")->description.scale_x, 1.02);
}

TEST(Printers, sheets_are_made_for_the_printer_named_and_an_unknown_name_is_refused_with_those_that_are_known) {
  FreshLedger fresh;
  describe_printer(fresh.ledger, fresh.ana, front_office(1.01));
  const Printing printing = printing_on(fresh.ledger, "Front office", "2031-05-04");
  EXPECT_EQ(printing.standard.printer.scale_x, 1.01);
  EXPECT_EQ(printing.standard.printer.toner_spread_mm, fresh.standard.printer.toner_spread_mm);
  EXPECT_GE(printing.standard.artifact.micro_module_mm, 5 * 25.4 / 600 - 1e-9);  // where four dots run together
  try {
    (void)printing_on(fresh.ledger, "Attic", "2031-05-04");
    FAIL();
  } catch (const Error& error) {
    EXPECT_EQ(error.family(), ErrorFamily::usage);
    EXPECT_NE(std::string{error.what()}.find("Front office"), std::string::npos) << error.what();
  }
}

SoakTest scrap(const std::string& date, bool passed = true) {
  SoakTest test;
  test.printer = "Front office";
  test.toner = "black, lot 7";
  test.paper = "acid-free paper, 100 % cotton";
  test.adhesive = "acrylic resin in acetone";
  test.date = date;
  test.passed = passed;
  return test;
}

std::string said(const Ledger& ledger, const std::string& today, const std::string& printer = "Front office") {
  return soak_standing(soak_tests(ledger), printer, "acid-free paper, 100 % cotton", today).text;
}

bool says_safe(const std::string& text) { return text.find("safe to use") != std::string::npos; }

TEST(SoakTests, only_a_test_that_passed_for_this_printer_and_paper_and_still_holds_says_safe_to_use) {
  FreshLedger fresh;
  EXPECT_FALSE(says_safe(said(fresh.ledger, "2031-05-04")));
  const SoakTest kept = record_soak_test(fresh.ledger, fresh.ana, scrap("2031-05-02"), "2031-05-04");
  EXPECT_EQ(kept.expires, "2032-05-01");  // 365 days; 2032 is a leap year, its 29 February counts
  EXPECT_TRUE(says_safe(said(fresh.ledger, "2031-05-04")));
  EXPECT_TRUE(says_safe(said(fresh.ledger, "2032-05-01")));
  EXPECT_FALSE(says_safe(said(fresh.ledger, "2032-05-02"))) << "the day after";
  EXPECT_NE(said(fresh.ledger, "2032-05-02").find("held until 2032-05-01"), std::string::npos);
  EXPECT_FALSE(says_safe(said(fresh.ledger, "2031-05-04", "Attic"))) << "another printer";
  EXPECT_FALSE(says_safe(said(fresh.ledger, "2031-05-04", ""))) << "nobody named a printer";
  EXPECT_FALSE(says_safe(soak_standing(soak_tests(fresh.ledger), "Front office", "card", "2031-05-04").text));
}

TEST(SoakTests, a_later_failure_of_the_same_four_ends_what_the_pass_allowed) {
  FreshLedger fresh;
  (void)record_soak_test(fresh.ledger, fresh.ana, scrap("2031-05-01"), "2031-05-04");
  (void)record_soak_test(fresh.ledger, fresh.ana, scrap("2031-05-03", false), "2031-05-04");
  EXPECT_FALSE(says_safe(said(fresh.ledger, "2031-05-04")));
  EXPECT_NE(said(fresh.ledger, "2031-05-04").find("failed"), std::string::npos);
  SoakTest other = scrap("2031-05-04");
  other.adhesive = "methyl cellulose in water";
  (void)record_soak_test(fresh.ledger, fresh.ana, other, "2031-05-04");
  const std::string text = said(fresh.ledger, "2031-05-04");
  EXPECT_TRUE(says_safe(text));
  EXPECT_EQ(text.find("safe to use with acrylic resin"), std::string::npos) << text;
  EXPECT_NE(text.find("failed with acrylic resin in acetone"), std::string::npos) << "and which not: " << text;
  EXPECT_TRUE(fresh.ledger.verify().good());
  fresh.ledger.rebuild();
  EXPECT_EQ(said(fresh.ledger, "2031-05-04"), text);
  EXPECT_EQ(fresh.ledger.history("Front office").size(), 3U);
}

TEST(SoakTests, what_is_no_test_is_refused_and_nothing_is_kept) {
  FreshLedger fresh;
  SoakTest nameless = scrap("2031-05-01");
  nameless.adhesive = " ";
  EXPECT_THROW((void)record_soak_test(fresh.ledger, fresh.ana, nameless, "2031-05-04"), Error);
  for (const char* date : {"2031-02-29", "yesterday", "2031-5-1", "2031-05-05"})
    EXPECT_THROW((void)record_soak_test(fresh.ledger, fresh.ana, scrap(date), "2031-05-04"), Error) << date;
  EXPECT_TRUE(soak_tests(fresh.ledger).empty());
}

TEST(Plan, a_small_object_gets_a_smaller_label_and_the_plan_says_so) {
  FreshLedger fresh;
  CatalogRow bead = testing::row(fresh.standard, "16ZQ5/12.347", "glass");
  bead.largest_mm = 13;  // the rules would label it: it is over half an inch
  CatalogRow bowl = testing::row(fresh.standard, "16ZQ5/12.348", "pottery");
  bowl.largest_mm = 18;
  (void)testing::take_in(fresh.ledger, fresh.ana, {bead, bowl});
  const Plan plan = plan_labels(fresh.ledger);
  for (const PlannedDecision& decision : plan.labels.decisions) SCOPED_TRACE(decision.reason);
  ASSERT_EQ(plan.labels.decisions.size(), 2U);
  // 50 % of 13 mm is 6.5 mm: at 4 pt the site alone, six characters of Hack (0.602 em each) with margins, is 6.1 mm.
  EXPECT_EQ(plan.labels.decisions[0].decision, LabelDecision::direct);
  EXPECT_FALSE(plan.fitted.empty());
  EXPECT_EQ(plan.fitted.front().number, "16ZQ5/12.347");
  EXPECT_LT(plan.fitted.front().size_pt, 5);
}

TEST(Plan, an_object_too_small_for_any_label_gets_a_tag_only_and_the_reason_says_which_would_do) {
  std::string source = read_text(real_file_system(), testing::sample("standards/quillow_ferry.toml"));
  const std::string key = "micro_code = \"none\"\n";
  source.insert(source.find(key) + key.size(), "most_of_object_percent = 40\n");
  FreshLedger fresh{parse_house_standard(source, "strict")};
  CatalogRow bead = testing::row(fresh.standard, "16ZQ5/12.347", "glass");
  bead.largest_mm = 13;
  (void)testing::take_in(fresh.ledger, fresh.ana, {bead});
  const Plan plan = plan_labels(fresh.ledger);
  EXPECT_EQ(plan.labels.decisions.at(0).decision, LabelDecision::tag_only);
  EXPECT_NE(plan.labels.decisions.at(0).reason.find("the smallest that would do"), std::string::npos);
  EXPECT_TRUE(plan.labels.artifacts.empty());
}

}  // namespace
}  // namespace sherdmark
