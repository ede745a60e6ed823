// Field numbers, moves, splits, recounts, loans, backups.
#include <gtest/gtest.h>

#include "ledger/ledger_samples.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/unfinished.h"
#include "sherdmark/ledger/box_lists.h"
#include "sherdmark/ledger/boxing.h"
#include "sherdmark/ledger/places.h"
#include "sherdmark/ledger/plan_labels.h"

namespace sherdmark {
namespace {

using testing::FreshLedger;

struct Stocked : FreshLedger {
  Stocked() {
    (void)testing::take_in(ledger, ana,
                           {testing::in_bags(testing::row(standard, "16ZQ5/2.7", "stone", 12), {{"B1", 8}, {"B2", 4}}),
                            testing::in_bags(testing::row(standard, "16ZQ5/3.1", "stone", 2), {{"B1", {}}})});
    one = ledger.bags().at(0).id;
    two = ledger.bags().at(1).id;
    (void)ledger.store_plan(ana, testing::plan_of(ledger, one, 3, "text"));
    const PrintRun run = ledger.start_run(ana, LabelRole::bag);
    ledger.record_pages(ana, run.id, {1}, {});
    (void)ledger.confirm_printed(ana, run.id, {});
  }
  std::int64_t pieces(const std::string& item) {
    std::int64_t sum = 0;
    for (const BagRecord& bag : ledger.bags())
      for (const BagContent& content : bag.contents)
        if (content.item == item) sum += content.quantity.value_or(0);
    return sum;
  }
  std::string refused(const std::function<void()>& act) {
    const std::int64_t events = testing::count_events(ledger);
    std::string text;
    try {
      act();
      ADD_FAILURE() << "no error";
    } catch (const Error& error) {
      EXPECT_NE(error.family(), ErrorFamily::internal) << error.what();
      text = error.what();
    }
    EXPECT_EQ(testing::count_events(ledger), events);
    return text;
  }
  void rebuilds() {
    const LedgerVerification found = ledger.verify();
    EXPECT_TRUE(found.good()) << found.problems.front();
  }

  std::string one, two;
};

TEST(Custody, splitting_and_combining_conserve_the_pieces_and_revise_the_labels) {
  Stocked s;
  const std::string made = s.ledger.split(s.ana, s.one, "16ZQ5/2.7", 3, "too full");
  EXPECT_EQ(s.pieces("16ZQ5/2.7"), 12);
  EXPECT_EQ(s.ledger.find_bag(s.one)->contents.at(0).quantity, 5);
  EXPECT_EQ(s.ledger.find_bag(made)->contents.at(0).quantity, 3);
  EXPECT_TRUE(s.ledger.live_prints(s.one, LabelRole::bag).empty()) << "its label says eight";
  EXPECT_TRUE(s.ledger.expected_artifacts(s.one).empty()) << "which pieces went is not known: they are planned anew";
  s.ledger.combine(s.ana, made, s.two, "back together");
  EXPECT_EQ(s.pieces("16ZQ5/2.7"), 12);
  EXPECT_EQ(s.ledger.find_bag(s.two)->contents.at(0).quantity, 7);
  EXPECT_EQ(s.ledger.find_bag(made)->state, BagState::retired);
  EXPECT_NE(s.ledger.history(made).at(0).text.find("3 pieces of 16ZQ5/2.7 went from bag " + s.one), std::string::npos);
  s.rebuilds();
}

// "4 of 12", "bag 2 of 2": what stands on a bag's label may be true no more because of what was done to another bag.
TEST(Custody, labels_of_other_bags_that_count_the_whole_item_are_revised_too) {
  const auto printed = [](Stocked& s) {
    const PrintRun run = s.ledger.start_run(s.ana, LabelRole::bag);
    s.ledger.record_pages(s.ana, run.id, std::vector<int>(run.prints.size(), 1), {});
    (void)s.ledger.confirm_printed(s.ana, run.id, {});
    return !s.ledger.live_prints(s.two, LabelRole::bag).empty();
  };
  Stocked s;
  (void)s.ledger.store_plan(s.ana, plan_labels(s.ledger).labels);
  ASSERT_TRUE(printed(s)) << "the second bag holds four of twelve and nothing else";
  const std::string made = s.ledger.split(s.ana, s.one, "16ZQ5/2.7", 3, "too full");
  EXPECT_TRUE(s.ledger.live_prints(s.two, LabelRole::bag).empty()) << "it is one of three bags now";
  (void)s.ledger.store_plan(s.ana, plan_labels(s.ledger).labels);
  ASSERT_TRUE(printed(s));
  s.ledger.recount(s.ana, s.one, "16ZQ5/2.7", 4, "one was a pebble");
  EXPECT_TRUE(s.ledger.live_prints(s.two, LabelRole::bag).empty()) << "four of eleven";
  (void)s.ledger.store_plan(s.ana, plan_labels(s.ledger).labels);
  ASSERT_TRUE(printed(s));
  s.ledger.combine(s.ana, made, s.one, "back together");
  EXPECT_TRUE(s.ledger.live_prints(s.two, LabelRole::bag).empty()) << "one of two bags";
  s.rebuilds();
}

TEST(Custody, acts_that_would_lose_pieces_are_refused_in_words) {
  Stocked s;
  (void)s.refused([&] { (void)s.ledger.split(s.ana, s.one, "16ZQ5/2.7", 8, ""); });
  (void)s.refused([&] { (void)s.ledger.split(s.ana, s.one, "16ZQ5/2.7", 0, ""); });
  (void)s.refused([&] { (void)s.ledger.split(s.ana, s.two, "16ZQ5/3.1", 1, ""); });
  (void)s.refused([&] { (void)s.ledger.split(s.ana, "B00000001", "16ZQ5/3.1", 1, ""); });
  (void)s.refused([&] { s.ledger.combine(s.ana, s.one, s.one, ""); });
  (void)s.refused([&] { s.ledger.recount(s.ana, s.one, "16ZQ5/2.7", 7, " "); });
  (void)s.refused([&] { s.ledger.recount(s.ana, s.one, "16ZQ5/3.1", 0, "none seen"); });
  s.ledger.combine(s.ana, s.two, s.one, "");
  (void)s.refused([&] { s.ledger.combine(s.ana, s.two, s.one, "twice"); });
}

TEST(Custody, a_recount_changes_bag_and_item_by_the_same_difference) {
  Stocked s;
  s.ledger.recount(s.ana, s.one, "16ZQ5/2.7", 6, "two were joins");
  EXPECT_EQ(s.ledger.find_item("16ZQ5/2.7")->row.count, 10);
  EXPECT_EQ(s.pieces("16ZQ5/2.7"), 10);
  EXPECT_EQ(s.ledger.find_bag(s.one)->contents.at(0).labelled, 3);
  s.ledger.recount(s.ana, s.one, "16ZQ5/2.7", 2, "sorted again");
  EXPECT_EQ(s.ledger.find_bag(s.one)->contents.at(0).labelled, 0) << "planned for more pieces than there are";
  s.rebuilds();
}

TEST(Custody, containers_move_for_a_while_or_for_good) {
  Stocked s;
  s.ledger.move(s.ana, {s.one, "Lab/Bench 2", false, "2031-06-01"});
  EXPECT_EQ(s.ledger.find_bag(s.one)->now_place, "Lab/Bench 2");
  EXPECT_EQ(s.ledger.find_bag(s.one)->home_place, "");
  s.ledger.move(s.ana, {s.one, "Room 2/Shelf 1", true, ""});
  EXPECT_EQ(s.ledger.find_bag(s.one)->home_place, "Room 2/Shelf 1");
  EXPECT_EQ(s.ledger.find_item("16ZQ5/3.1")->row.place, "Room 2/Shelf 1");
  (void)s.refused([&] { s.ledger.move(s.ana, {s.one, "Room 2//Shelf", false, ""}); });
  (void)s.refused([&] { s.ledger.move(s.ana, {"Box 99", "Room 2", false, ""}); });
  (void)s.refused([&] { s.ledger.move(s.ana, {s.one, "Room 2", true, "2031-06-01"}); });
  s.rebuilds();
}

TEST(Custody, a_box_moves_with_everything_in_it) {
  FreshLedger fresh;
  CatalogRow row = testing::in_bags(testing::row(fresh.standard, "16ZQ5/2.7"), {{"B1", {}}});
  row.box = "Box 9";
  row.place = "Room 2";
  (void)testing::take_in(fresh.ledger, fresh.ana, {row});
  fresh.ledger.move(fresh.ana, {"Box 9", "Room 3", false, ""});
  EXPECT_EQ(fresh.ledger.bags().at(0).now_place, "Room 3");
  EXPECT_EQ(fresh.ledger.bags().at(0).home_place, "Room 2");
  EXPECT_TRUE(fresh.ledger.verify().good());
}

TEST(Custody, a_bag_that_is_elsewhere_stays_there_when_its_box_moves_and_the_box_list_says_so) {
  FreshLedger fresh;
  std::vector<CatalogRow> rows{testing::in_bags(testing::row(fresh.standard, "16ZQ5/2.7"), {{"B1", {}}}),
                               testing::in_bags(testing::row(fresh.standard, "16ZQ5/2.8"), {{"B2", {}}}),
                               testing::in_bags(testing::row(fresh.standard, "16ZQ5/3.1"), {{"B3", {}}})};
  for (CatalogRow& row : rows) {
    row.box = "Box 9";
    row.place = "Room 2";
  }
  (void)testing::take_in(fresh.ledger, fresh.ana, rows);
  const std::string in_studio = fresh.ledger.bags().at(0).id, on_loan = fresh.ledger.bags().at(1).id;
  record_box_list(fresh.ledger, fresh.ana, box_list(fresh.ledger, "Box 9"));
  EXPECT_TRUE(box_list(fresh.ledger, "Box 9").current);
  fresh.ledger.move(fresh.ana, {in_studio, "Photo studio", false, "2031-06-01"});
  EXPECT_FALSE(box_list(fresh.ledger, "Box 9").current) << "a bag is not in the box any more";
  EXPECT_TRUE(box_list(fresh.ledger, "Box 9").lines.at(0).away);
  (void)fresh.ledger.lend(fresh.ana, {on_loan}, "Museum of the Invented Coast", "2032-01-01");
  EXPECT_EQ(bags_away(fresh.ledger, "Box 9"), std::vector{in_studio});
  fresh.ledger.move(fresh.ana, {"Box 9", "Room 3", false, ""});
  EXPECT_EQ(fresh.ledger.bags().at(0).now_place, "Photo studio");
  EXPECT_EQ(fresh.ledger.bags().at(1).now_place, "Room 3") << "where it comes back to";
  EXPECT_EQ(fresh.ledger.bags().at(2).now_place, "Room 3");
  fresh.ledger.move(fresh.ana, {in_studio, "Room 3", false, ""});
  EXPECT_FALSE(box_list(fresh.ledger, "Box 9").lines.at(0).away);
  EXPECT_TRUE(fresh.ledger.verify().good());
}

// Two bags of box 9 in room 2, and one of box 10 in room 3.
struct Boxed : FreshLedger {
  Boxed() {
    std::vector<CatalogRow> rows{
        testing::in_bags(testing::row(standard, "16ZQ5/2.7", "stone", 12), {{"B1", 8}, {"B2", 4}}),
        testing::in_bags(testing::row(standard, "16ZQ5/3.1"), {{"B3", {}}})};
    rows[0].box = "Box 9";
    rows[0].place = "Room 2";
    rows[1].box = "Box 10";
    rows[1].place = "Room 3";
    (void)testing::take_in(ledger, ana, rows);
    one = ledger.bags().at(0).id;
    two = ledger.bags().at(1).id;
    three = ledger.bags().at(2).id;
    for (const char* box : {"Box 9", "Box 10"}) (void)record_box_list(ledger, ana, box_list(ledger, box));
  }
  std::string where(const std::string& bag) {
    const BagRecord record = ledger.find_bag(bag).value();
    return record.box + " | " + record.now_place + " | " + record.home_place;
  }
  bool current(const std::string& box) { return box_list(ledger, box).current; }

  std::string one, two, three;
};

TEST(Custody, a_bag_put_into_another_box_is_where_that_box_is_and_makes_both_lists_stale) {
  Boxed s;
  s.ledger.move(s.ana, {s.one, "Photo studio", false, "2031-06-01"});
  put_into_box(s.ledger, s.ana, s.one, "Box 10");
  EXPECT_EQ(s.where(s.one), "Box 10 | Room 3 | Room 3");
  EXPECT_FALSE(s.current("Box 9"));
  EXPECT_FALSE(s.current("Box 10"));
  EXPECT_EQ(s.ledger.find_item("16ZQ5/2.7")->row.box, "Box 9") << "half of it lies there still";
  put_into_box(s.ledger, s.ana, s.two, s.ledger.find_bag(s.one)->box_id);
  EXPECT_EQ(s.ledger.find_item("16ZQ5/2.7")->row.box, "Box 10") << "all of it lies there now";
  EXPECT_EQ(s.ledger.find_item("16ZQ5/2.7")->row.place, "Room 3");
  s.ledger.move(s.ana, {"Box 10", "Room 4", false, ""});
  EXPECT_EQ(s.where(s.two), "Box 10 | Room 4 | Room 3") << "it goes along with its box";
  EXPECT_EQ(box_list(s.ledger, "Box 9").lines.size(), 0U);
  EXPECT_EQ(box_list(s.ledger, "Box 10").lines.size(), 3U);
  EXPECT_TRUE(s.ledger.verify().good());
}

TEST(Custody, a_bag_taken_out_of_its_box_stands_on_its_own) {
  Boxed s;
  take_out_of_box(s.ledger, s.ana, s.three, "Room 5/Shelf 1");
  EXPECT_EQ(s.where(s.three), " | Room 5/Shelf 1 | Room 5/Shelf 1");
  EXPECT_EQ(s.ledger.find_item("16ZQ5/3.1")->row.box, "");
  EXPECT_FALSE(s.current("Box 10"));
  EXPECT_TRUE(s.current("Box 9"));
  s.ledger.move(s.ana, {"Box 10", "Room 4", false, ""});
  EXPECT_EQ(s.where(s.three), " | Room 5/Shelf 1 | Room 5/Shelf 1");
  EXPECT_TRUE(s.ledger.verify().good());
}

TEST(Custody, what_cannot_be_put_into_a_box_is_refused_in_words) {
  Boxed s;
  (void)s.ledger.lend(s.ana, {s.two}, "Museum of the Invented Coast", "2032-01-01");
  take_out_of_box(s.ledger, s.ana, s.three, "Room 5");
  const struct {
    std::string bag, box, what;  // no box: out of the one it lies in
  } rows[] = {{s.one, "Box 9", "lies in box \"Box 9\" already"},
              {s.one, "Box 99", "Box 99"},
              {s.two, "Box 10", "is on loan"},
              {"BXYZ00001", "Box 10", "BXYZ00001"},
              {s.three, "", "lies in no box"}};
  for (const auto& row : rows) {
    const std::int64_t events = testing::count_events(s.ledger);
    try {
      row.box.empty() ? take_out_of_box(s.ledger, s.ana, row.bag, "Room 1")
                      : put_into_box(s.ledger, s.ana, row.bag, row.box);
      ADD_FAILURE() << row.what;
    } catch (const Error& error) {
      EXPECT_EQ(error.family(), ErrorFamily::usage);
      EXPECT_NE(std::string{error.what()}.find(row.what), std::string::npos) << error.what();
    }
    EXPECT_EQ(testing::count_events(s.ledger), events);
  }
}

TEST(Custody, loans_go_out_and_come_back_bag_by_bag) {
  Stocked s;
  const std::string loan = s.ledger.lend(s.ana, {s.one, s.two}, "Museum of the Invented Coast", "2032-01-01");
  EXPECT_EQ(loan, "N" + s.ana.station + "00001");
  EXPECT_TRUE(s.ledger.find_bag(s.one)->lent);
  EXPECT_NE(s.refused([&] { s.ledger.take_back(s.ana, loan, {s.one, s.one}); }).find("named twice"), std::string::npos);
  (void)s.refused([&] { (void)s.ledger.lend(s.ana, {s.one}, "Somebody else", ""); });
  (void)s.refused([&] { s.ledger.combine(s.ana, s.one, s.two, ""); });
  s.ledger.take_back(s.ana, loan, {s.two});
  EXPECT_FALSE(s.ledger.find_bag(s.two)->lent);
  EXPECT_EQ(s.ledger.loans().at(0).out, std::vector<std::string>{s.one});
  (void)s.refused([&] { s.ledger.take_back(s.ana, loan, {s.two}); });
  EXPECT_NE(s.ledger.history(s.one).back().text.find("Museum of the Invented Coast"), std::string::npos);
  s.rebuilds();
}

TEST(Custody, field_numbers_are_reserved_issued_and_bound_and_never_used_twice) {
  Stocked s;
  s.ledger.reserve_field_numbers(s.ana, "Crew 1", {"FN 1", "FN 2", "FN 3", "FN 4"});
  s.ledger.reserve_field_numbers(s.ana, "Crew 2", {"FN 5"});
  (void)s.refused([&] { s.ledger.reserve_field_numbers(s.ana, "Crew 2", {"FN 6", "FN 1"}); });
  s.ledger.issue_field_numbers(s.ana, {"FN 1", "FN 2", "FN 4", "FN 5"});
  (void)s.refused([&] { s.ledger.issue_field_numbers(s.ana, {"FN 1"}); });
  s.ledger.retire_field_numbers(s.ana, {"FN 4"}, FieldState::spoiled, "washed out");
  const std::vector<FieldBinding> log = {{2, "FN 1", "16ZQ5/2"},  {3, "FN 1", "16ZQ5/3"}, {4, "FN 3", "16ZQ5/2"},
                                         {5, "FN 5", "16ZQ5/2"},  {6, "FN 9", "16ZQ5/2"}, {7, "FN 4", "16ZQ5/2"},
                                         {8, "FN 2", "16ZQ5/99"}, {9, "FN 2", "16ZQ5/99"}};
  std::string told;
  for (const FieldLogProblem& problem : s.ledger.check_field_log(log, "Crew 1"))
    told += std::to_string(problem.row) + ": " + problem.what + "\n";
  EXPECT_EQ(told,
            "3: one number for two lots: row 2 gives it to 16ZQ5/2\n"
            "4: this number was never issued\n"
            "5: this number is from the block of Crew 2\n"
            "6: this number was never reserved\n"
            "7: this number is spoiled and is never used again\n"
            "8: the ledger has no lot 16ZQ5/99\n"
            "9: this number stands in row 8 too\n");
  EXPECT_NE(s.refused([&] { (void)s.ledger.bind_field_numbers(s.ana, log, "Crew 1", true); }).find("row 3"),
            std::string::npos);
  const std::vector<FieldBinding> good = {{2, "FN 1", "16ZQ5/2"}, {3, "FN 2", "16ZQ5/3"}};
  EXPECT_EQ(s.ledger.bind_field_numbers(s.ana, good, "Crew 1", false).bound, 2);
  EXPECT_EQ(s.ledger.find_number("FN 2").bound_to, "16ZQ5/3");
  const std::int64_t events = testing::count_events(s.ledger);
  EXPECT_EQ(s.ledger.bind_field_numbers(s.ana, good, "Crew 1", false).bound, 0) << "twice is once";
  EXPECT_EQ(testing::count_events(s.ledger), events);
  const std::vector<FieldBinding> moved = {{2, "FN 1", "16ZQ5/3"}};
  (void)s.refused([&] { (void)s.ledger.bind_field_numbers(s.ana, moved, "Crew 1", false); });
  EXPECT_EQ(s.ledger.bind_field_numbers(s.ana, moved, "Crew 1", true).rebound, 1);
  EXPECT_EQ(s.ledger.field_numbers().at(0).lot, "16ZQ5/3");
  EXPECT_EQ(s.ledger.history("FN 1").size(), 4U);
  s.rebuilds();
}

TEST(Custody, a_backup_is_opened_and_proven_before_it_is_called_one) {
  Stocked s;
  const auto target = s.folder / "backup.ledger";
  EXPECT_TRUE(s.ledger.backup(target).good());
  (void)s.refused([&] { (void)s.ledger.backup(target); });
  const Ledger copy = Ledger::open(target, FreshLedger::access(), s.clock, s.random);
  EXPECT_TRUE(copy.notices().empty()) << "nobody writes to the copy";
  EXPECT_EQ(copy.heads(), s.ledger.heads());
  EXPECT_FALSE(std::filesystem::exists(unfinished_name(target)));
}

}  // namespace
}  // namespace sherdmark
