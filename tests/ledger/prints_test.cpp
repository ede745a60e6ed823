// Plans, runs and the life of a print.
#include <gtest/gtest.h>

#include <set>

#include "ledger/ledger_samples.h"
#include "sherdmark/base/error.h"
#include "sherdmark/ledger/reviews.h"

namespace sherdmark {
namespace {

using testing::FreshLedger;

// One item of three pieces in one bag, planned: three artifact labels, a bag label, a tag of two sheets.
struct Planned : FreshLedger {
  Planned() {
    (void)testing::take_in(ledger, ana, {testing::in_bags(testing::row(standard, number, "stone", 3), {{"B1", {}}})});
    bag = ledger.bags().at(0).id;
    plan = testing::plan_of(ledger, bag, 3, "text");
    plan.carriers[1].sheets = 2;
    first = ledger.store_plan(ana, plan);
  }
  PrintRun printed(LabelRole role) {
    PrintRun made = ledger.start_run(ana, role);
    ledger.record_pages(ana, made.id, std::vector<int>(made.prints.size(), 1), {"labels.pdf"});
    (void)ledger.confirm_printed(ana, made.id, {});
    return made;
  }
  PrintState state(const RunPrint& print) { return ledger.find_print(print.print.serial)->state; }

  std::string number = "16ZQ5/2.7";
  std::string bag;
  LabelPlan plan;
  PlanResult first;
};

TEST(Prints, a_plan_is_stored_once_and_the_same_plan_is_no_event) {
  Planned p;
  EXPECT_EQ(p.first.labels_new, 3);
  const std::int64_t events = testing::count_events(p.ledger);
  const PlanResult again = p.ledger.store_plan(p.ana, p.plan);
  EXPECT_EQ(again.labels_unchanged, 3);
  EXPECT_EQ(testing::count_events(p.ledger), events);
  const auto expected = p.ledger.expected_artifacts(p.bag);
  ASSERT_EQ(expected.size(), 1U);
  EXPECT_EQ(expected[0].copies, 3);
  EXPECT_EQ(p.ledger.find_bag(p.bag)->contents.at(0).labelled, 3);
  EXPECT_EQ(p.ledger.find_bag(p.bag)->contents.at(0).unlabelled, 0);
}

TEST(Prints, sub_numbered_pieces_are_expected_each_once_and_lead_to_their_item) {
  Planned p;
  LabelPlan plan = p.plan;
  plan.artifacts.clear();
  for (const char* piece : {"16ZQ5/2.7-1", "16ZQ5/2.7-2", "16ZQ5/2.7-10"})
    plan.artifacts.push_back({p.number, piece, piece, {{p.bag, 1}}});
  (void)p.ledger.store_plan(p.ana, plan);
  std::vector<std::string> numbers;
  for (const ExpectedArtifact& artifact : p.ledger.expected_artifacts(p.bag)) {
    EXPECT_EQ(artifact.copies, 1);
    EXPECT_EQ(artifact.item, p.number);
    numbers.push_back(artifact.number);
  }
  EXPECT_EQ(numbers, (std::vector<std::string>{"16ZQ5/2.7-1", "16ZQ5/2.7-2", "16ZQ5/2.7-10"}));
  EXPECT_EQ(p.ledger.find_number("16ZQ5/2.7-2").items, std::vector<std::string>{p.number});
  EXPECT_EQ(p.ledger.labels(LabelRole::artifact).size(), 3U) << "the shared label is planned no more";
}

TEST(Prints, a_plan_cannot_label_more_pieces_than_a_bag_holds_or_put_them_elsewhere) {
  Planned p;
  LabelPlan too_many = p.plan;
  too_many.artifacts[0].per_bag[0].copies = 4;
  EXPECT_THROW((void)p.ledger.store_plan(p.ana, too_many), Error);
  LabelPlan elsewhere = p.plan;
  elsewhere.artifacts[0].per_bag[0].bag = "B00000001";
  EXPECT_THROW((void)p.ledger.store_plan(p.ana, elsewhere), Error);
  LabelPlan unknown = p.plan;
  unknown.artifacts[0].item = "16ZQ5/99.1";
  EXPECT_THROW((void)p.ledger.store_plan(p.ana, unknown), Error);
  EXPECT_TRUE(p.ledger.verify().good());
}

TEST(Prints, a_run_gives_every_copy_its_own_serial_and_prints_only_what_is_due) {
  Planned p;
  std::set<std::string> serials;
  const PrintRun artifacts = p.printed(LabelRole::artifact);
  const PrintRun tags = p.printed(LabelRole::tag);
  for (const PrintRun* made : {&artifacts, &tags})
    for (const RunPrint& print : made->prints) {
      EXPECT_EQ(print.print.serial.size(), 8U);
      EXPECT_TRUE(serials.insert(print.print.serial).second);
    }
  ASSERT_EQ(artifacts.prints.size(), 3U);
  EXPECT_EQ(artifacts.prints[2].copy, 3);
  ASSERT_EQ(tags.prints.size(), 2U);
  EXPECT_EQ(tags.prints[1].print.ordinal, 2);
  EXPECT_THROW((void)p.ledger.start_run(p.ana, LabelRole::artifact), Error) << "nothing is due";
  EXPECT_EQ(
      p.ledger.start_run(p.ana, LabelRole::artifact, {{LabelRole::artifact, p.number, p.number, 2}}).prints.size(), 2U);
  EXPECT_THROW((void)p.ledger.start_run(p.ana, LabelRole::artifact, {{LabelRole::artifact, "x", "x", 1}}), Error);
}

TEST(Prints, pages_are_confirmed_one_by_one) {
  Planned p;
  const PrintRun made = p.ledger.start_run(p.ana, LabelRole::artifact);
  EXPECT_THROW((void)p.ledger.confirm_printed(p.ana, made.id, {}), Error) << "no page was written yet";
  p.ledger.record_pages(p.ana, made.id, {1, 1, 2}, {"artifact.pdf"});
  EXPECT_EQ(p.ledger.find_run(made.id)->state, RunState::generated);
  EXPECT_THROW((void)p.ledger.confirm_printed(p.ana, made.id, {3}), Error);
  EXPECT_EQ(p.ledger.confirm_printed(p.ana, made.id, {2}), 1);
  EXPECT_EQ(p.ledger.artifact_label(p.number)->printed, 1);
  EXPECT_EQ(p.ledger.artifact_label(p.number)->generated, 2);
  EXPECT_EQ(p.ledger.confirm_printed(p.ana, made.id, {}), 2);
  EXPECT_EQ(p.ledger.confirm_printed(p.ana, made.id, {}), 0) << "twice is once";
  EXPECT_EQ(p.ledger.find_run(made.id)->state, RunState::printed);
  EXPECT_EQ(p.ledger.find_run(made.id)->confirmed, 3);
}

TEST(Prints, a_label_that_was_replaced_before_anybody_confirmed_it_does_not_count_as_confirmed) {
  Planned p;
  const PrintRun bag = p.ledger.start_run(p.ana, LabelRole::bag);
  p.ledger.record_pages(p.ana, bag.id, {1}, {"bag.pdf"});
  const PrintRun tags = p.printed(LabelRole::tag);
  for (const LabelRole role : {LabelRole::bag, LabelRole::tag})
    p.ledger.revise(p.ana, role, p.bag, p.number, "another text");
  EXPECT_EQ(p.ledger.find_run(bag.id)->confirmed, 0);
  EXPECT_EQ(p.ledger.confirm_printed(p.ana, bag.id, {}), 0);
  EXPECT_EQ(p.ledger.find_run(bag.id)->confirmed, 0);
  EXPECT_EQ(p.ledger.find_run(tags.id)->confirmed, 2);
}

TEST(Prints, reprint_revise_and_void_are_three_different_acts) {
  Planned p;
  const PrintRun bags = p.printed(LabelRole::bag);
  const RunPrint original = bags.prints.at(0);

  const PrintRun again = p.ledger.reprint(p.ana, bags.id, {1});
  EXPECT_EQ(again.prints.at(0).print.revision, 1) << "reprint keeps the revision";
  EXPECT_NE(again.prints.at(0).print.serial, original.print.serial);
  EXPECT_EQ(p.state(original), PrintState::spoiled);
  EXPECT_EQ(p.ledger.find_run(again.id)->reprint_of, bags.id);
  EXPECT_THROW((void)p.ledger.reprint(p.ana, bags.id, {1}), Error) << "its replacement is already made";
  p.ledger.record_pages(p.ana, again.id, {1}, {});
  (void)p.ledger.confirm_printed(p.ana, again.id, {});

  p.ledger.void_prints(p.ana, {again.prints[0].print.serial}, "stuck to the wrong bag");
  EXPECT_EQ(p.state(again.prints[0]), PrintState::void_);
  EXPECT_EQ(p.ledger.labels(LabelRole::bag).at(0).revision, 1) << "void keeps the revision";
  EXPECT_THROW(p.ledger.void_prints(p.ana, {again.prints[0].print.serial}, "again"), Error);

  const PrintRun third = p.printed(LabelRole::bag);
  p.ledger.revise(p.ana, LabelRole::bag, p.bag, p.number, "the text was misleading");
  EXPECT_EQ(p.state(third.prints.at(0)), PrintState::superseded);
  EXPECT_EQ(p.ledger.labels(LabelRole::bag).at(0).revision, 2) << "revise raises the revision";
  EXPECT_TRUE(p.ledger.verify().good());
}

TEST(Prints, a_plan_with_another_text_revises_the_label) {
  Planned p;
  const PrintRun bags = p.printed(LabelRole::bag);
  p.plan.carriers[0].text = "another text";
  const PlanResult result = p.ledger.store_plan(p.ana, p.plan);
  EXPECT_EQ(result.labels_revised, 1);
  EXPECT_EQ(result.prints_superseded, 1);
  EXPECT_EQ(p.state(bags.prints.at(0)), PrintState::superseded);
  EXPECT_EQ(p.printed(LabelRole::bag).prints.at(0).print.revision, 2);
}

TEST(Prints, only_printed_copies_can_be_applied_and_reprinting_applied_ones_supersedes_them) {
  Planned p;
  EXPECT_THROW(p.ledger.mark_applied(p.ana, LabelRole::artifact, p.number, p.number, 1), Error);
  const PrintRun made = p.printed(LabelRole::artifact);
  p.ledger.mark_applied(p.ana, LabelRole::artifact, p.number, p.number, 2);
  EXPECT_EQ(p.ledger.artifact_label(p.number)->applied, 2);
  EXPECT_EQ(p.ledger.artifact_label(p.number)->printed, 1);
  EXPECT_THROW(p.ledger.mark_applied(p.ana, LabelRole::artifact, p.number, p.number, 2), Error);
  (void)p.ledger.reprint(p.ana, made.id, {});
  EXPECT_EQ(p.state(made.prints[0]), PrintState::superseded);
  EXPECT_EQ(p.state(made.prints[2]), PrintState::spoiled);
}

TEST(Prints, a_run_whose_pages_were_never_written_is_abandoned_by_the_next) {
  Planned p;
  const PrintRun lost = p.ledger.start_run(p.ana, LabelRole::artifact);
  const PrintRun made = p.ledger.start_run(p.ana, LabelRole::artifact);
  EXPECT_EQ(made.prints.size(), 3U);
  EXPECT_EQ(p.ledger.find_run(lost.id)->state, RunState::abandoned);
  EXPECT_EQ(p.state(lost.prints[0]), PrintState::spoiled);
  EXPECT_EQ(p.ledger.runs().size(), 2U);
}

TEST(Prints, verdicts_are_kept_with_their_reasons) {
  Planned p;
  CheckRecord check;
  check.set = "IMG_0001.jpg";
  check.bag = p.bag;
  check.verdict = "disagree";
  check.evidence = "bag and tag";
  check.expected = 5;
  check.seen = 2;
  check.reasons = {{"wrong-tag", "the tag names 16ZQ5/2.8"}, {"several-bags", "two bags"}};
  check.images = {"IMG_0001.jpg"};
  p.ledger.record_checks(p.ana, std::vector{check, check});
  const auto kept = p.ledger.checks_of_bag(p.bag);
  ASSERT_EQ(kept.size(), 2U);
  EXPECT_EQ(kept[0].verdict, "disagree");
  EXPECT_EQ(kept[0].reasons.at(1).code, "several-bags");
  EXPECT_EQ(kept[0].images, check.images);
  EXPECT_EQ(kept[0].person, "Ana Quill");
  EXPECT_NE(p.ledger.history(p.bag).back().text.find("disagree"), std::string::npos);
}

TEST(Prints, verdicts_to_review_bring_what_was_said_and_sets_of_one_name_are_told_apart_by_their_pictures) {
  Planned p;
  const auto check = [](const std::string& set, const std::string& file, const std::string& verdict) {
    CheckRecord record;
    record.set = set;
    record.verdict = verdict;
    record.images = {"p.jpg"};
    if (!file.empty()) record.pictures = {{"p.jpg", file, std::string(64, 'a')}};
    return record;
  };
  CheckRecord said = check("1", "monday/p.jpg", "unreadable");
  said.place = "Room 2/Shelf 9";
  said.counted = 7;
  const auto waiting = [&p] {
    std::string list;
    for (const StoredCheck& one : checks_to_review(p.ledger)) list += std::to_string(one.id) + " ";
    return list;
  };
  p.ledger.record_checks(p.ana, std::vector{said, check("2", "", "unreadable"), check("3", "a.jpg", "agree")});
  p.ledger.record_checks(p.ana, std::vector{check("1", "tuesday/p.jpg", "unreadable")});
  EXPECT_EQ(waiting(), "1 2 4 ") << "the divider 1 of two days";
  const CheckRecord first = checks_to_review(p.ledger)[0].check;
  EXPECT_EQ(first.place, said.place);
  EXPECT_EQ(first.counted, 7);
  ASSERT_EQ(first.pictures.size(), 1U);
  EXPECT_EQ(first.pictures[0].file, "monday/p.jpg");
  EXPECT_EQ(first.pictures[0].sha256, std::string(64, 'a'));
  EXPECT_FALSE(checks_to_review(p.ledger)[1].check.counted) << "of an earlier version: not known";
  p.ledger.record_checks(p.ana, std::vector{check("1", "monday/p.jpg", "agree"), check("2", "b.jpg", "agree")});
  EXPECT_EQ(waiting(), "4 ") << "checked again";
  record_review(p.ledger, p.ana, 4, std::vector{KeyedAnswer{0, "x"}}, check("1", "tuesday/p.jpg", "unreadable"));
  EXPECT_EQ(waiting(), "");
}

TEST(Prints, the_history_of_a_bag_is_told_in_words_and_in_order) {
  Planned p;
  const PrintRun bags = p.printed(LabelRole::bag);
  p.ledger.mark_applied(p.ana, LabelRole::bag, p.bag, p.number, 1);
  p.ledger.void_prints(p.ana, {bags.prints[0].print.serial}, "torn");
  std::vector<std::string> kinds;
  for (const HistoryLine& line : p.ledger.history(p.bag)) {
    kinds.push_back(line.kind);
    EXPECT_FALSE(line.text.empty());
    EXPECT_EQ(line.person, "Ana Quill");
  }
  EXPECT_EQ(kinds, (std::vector<std::string>{"intake", "run", "pages", "printed", "applied", "voided"}));
  EXPECT_EQ(p.ledger.history(bags.prints[0].print.serial).size(), 5U);
  EXPECT_EQ(p.ledger.history(bags.id).size(), 5U);
  EXPECT_TRUE(p.ledger.history("nothing by this name").empty());
  EXPECT_EQ(p.ledger.history("").size(), static_cast<std::size_t>(testing::count_events(p.ledger)));
}

TEST(Prints, exporting_restricted_columns_is_an_event) {
  Planned p;
  p.ledger.record_export(p.ana, {"UTM East"}, "out.csv");
  EXPECT_NE(p.ledger.history("").back().text.find("UTM East"), std::string::npos);
}

}  // namespace
}  // namespace sherdmark
