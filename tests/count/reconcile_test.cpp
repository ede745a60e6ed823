// What should be where against what was seen. Findings are the project's own definitions (docs/inventory.md).
#include <gtest/gtest.h>

#include <fmt/format.h>

#include "sherdmark/base/error.h"
#include "sherdmark/count/inventory.h"

namespace sherdmark {
namespace {

struct Outcome {
  InventoryTotals totals;
  std::vector<InventoryLine> lines;
  [[nodiscard]] const InventoryLine& line(const std::string& bag) const {
    for (const InventoryLine& one : lines)
      if (one.bag == bag) return one;
    throw std::runtime_error("no line of " + bag);
  }
};

Outcome run(const std::vector<ExpectedBag>& expected, const std::vector<SeenReading>& seen) {
  Outcome outcome;
  std::size_t next_expected = 0;
  std::size_t next_seen = 0;
  outcome.totals = reconcile(
      [&](ExpectedBag& bag) {
        if (next_expected == expected.size()) return false;
        bag = expected[next_expected++];
        return true;
      },
      [&](SeenReading& reading) {
        if (next_seen == seen.size()) return false;
        reading = seen[next_seen++];
        return true;
      },
      [&](const InventoryLine& line) { outcome.lines.push_back(line); });
  return outcome;
}

ExpectedBag bag(const std::string& id, const std::string& place = "Room 2/Shelf 1", const std::string& exempt = {},
                std::optional<std::int64_t> pieces = 10) {
  return {id, place, "", exempt, pieces};
}

SeenReading scan(const std::string& id, const std::string& serial, const std::string& place = "Room 2/Shelf 1",
                 const std::string& state = "applied", const std::string& role = "bag") {
  SeenReading reading;
  reading.bag = id;
  reading.serial = serial;
  reading.place = place;
  reading.state = state;
  reading.role = role;
  reading.ordinal = 1;
  reading.evidence = "seen outside";
  reading.time = "2031-05-04T09:00:00Z";
  return reading;
}

std::vector<std::string> words(const InventoryLine& line) {
  std::vector<std::string> found;
  for (const FoundFinding& one : line.findings) found.emplace_back(to_text(one.finding));
  return found;
}
using Words = std::vector<std::string>;

TEST(Reconcile, a_bag_seen_where_it_belongs_has_no_finding) {
  const Outcome outcome = run({bag("B1")}, {scan("B1", "S1")});
  EXPECT_EQ(outcome.line("B1").where, Whereabouts::at_home);
  EXPECT_TRUE(outcome.totals.nothing_found());
  EXPECT_EQ(outcome.totals.done(), 1);
}

TEST(Reconcile, every_finding_comes_from_its_own_fault_and_no_other) {
  SeenReading counted = scan("B5", "S5");
  counted.count = 9;
  SeenReading nobodys;
  nobodys.kind = SeenKind::unknown;
  nobodys.text = "a bag of another collection";
  SeenReading bare;
  bare.kind = SeenKind::unlabelled;
  bare.text = "FIC-001: iron knife";
  SeenReading blurred;
  blurred.kind = SeenKind::unread;
  blurred.text = "a code of ours that was not read whole";
  const Outcome outcome =
      run({bag("B1"), bag("B2"), bag("B3"), bag("B4"), bag("B5"), bag("B6"), bag("B8", "", "restricted"),
           bag("B9", "Room 2/Shelf 1", "on loan")},
          {nobodys, bare, blurred, scan("B1", "S1"), scan("B2", "S2", "Room 3"), scan("B3", "S3"), scan("B3", "S33"),
           scan("B4", "S4", "Room 2/Shelf 1", "void"), counted, scan("B7", "S7"), scan("B9", "S9")});
  EXPECT_EQ(words(outcome.line("B1")), Words{});
  EXPECT_EQ(words(outcome.line("B2")), Words{"seen elsewhere"});
  EXPECT_EQ(words(outcome.line("B3")), Words{"duplicate"});
  EXPECT_EQ(words(outcome.line("B4")), Words{"stale label"});
  EXPECT_EQ(words(outcome.line("B5")), Words{"count differs"});
  EXPECT_EQ(words(outcome.line("B6")), Words{"not found"});
  EXPECT_EQ(words(outcome.line("B7")), Words{"extra"});
  EXPECT_EQ(words(outcome.line("B8")), Words{});  // restricted: listed, never lost
  EXPECT_EQ(words(outcome.line("B9")), Words{"on loan, but here"});
  EXPECT_EQ(outcome.line("B8").where, Whereabouts::exempt);
  for (const Finding finding :
       {Finding::no_record, Finding::unlabelled, Finding::unread, Finding::not_found, Finding::seen_elsewhere,
        Finding::extra, Finding::duplicate, Finding::count_differs, Finding::stale_label, Finding::lent_but_here})
    EXPECT_EQ(outcome.totals.count(finding), 1) << to_text(finding);
  EXPECT_EQ(outcome.totals.count(Finding::disagrees), 0);
  EXPECT_EQ(outcome.totals.wanted(), 6);
  EXPECT_EQ(outcome.totals.done(), 5);
}

TEST(Reconcile, prints_are_counted_not_numbers_and_the_same_print_twice_is_one) {
  const Outcome twice = run({bag("B1")}, {scan("B1", "S1"), scan("B1", "S1")});
  EXPECT_TRUE(twice.totals.nothing_found());
  EXPECT_EQ(twice.totals.prints, 1);
  const Outcome label_and_tag = run({bag("B1")}, {scan("B1", "S1"), scan("B1", "S2", "", "applied", "tag")});
  EXPECT_TRUE(label_and_tag.totals.nothing_found());
  EXPECT_EQ(label_and_tag.line("B1").evidence, "bag and tag");
  SeenReading second_sheet = scan("B1", "S3");
  second_sheet.ordinal = 2;
  EXPECT_TRUE(run({bag("B1")}, {scan("B1", "S1"), second_sheet}).totals.nothing_found());
  const Outcome replaced = run({bag("B1")}, {scan("B1", "S1"), scan("B1", "S0", "", "superseded")});
  EXPECT_EQ(words(replaced.line("B1")), Words{"stale label"});  // not a second live print
}

TEST(Reconcile, one_print_at_two_places_was_moved_or_copied) {
  const Outcome outcome = run({bag("B1")}, {scan("B1", "S1", "Room 3"), scan("B1", "S1")});
  EXPECT_EQ(words(outcome.line("B1")), Words{"duplicate"});
  EXPECT_EQ(outcome.line("B1").where, Whereabouts::at_home);
}

TEST(Reconcile, a_less_exact_place_is_not_at_odds_and_no_place_is_said_apart) {
  EXPECT_EQ(run({bag("B1")}, {scan("B1", "S1", "Room 2")}).line("B1").where, Whereabouts::at_home);
  EXPECT_EQ(run({bag("B1")}, {scan("B1", "S1", "Room 2/Shelf 1/Tray 4")}).line("B1").where, Whereabouts::at_home);
  EXPECT_EQ(run({bag("B1")}, {scan("B1", "S1", "Room 2/Shelf 11")}).line("B1").where, Whereabouts::elsewhere);
  EXPECT_EQ(run({bag("B1")}, {scan("B1", "S1", "")}).line("B1").where, Whereabouts::place_not_said);
  EXPECT_EQ(run({bag("B1", "")}, {scan("B1", "S1", "Room 9")}).line("B1").where, Whereabouts::place_not_said);
  ExpectedBag boxed = bag("B1");
  boxed.box = "14";
  SeenReading in_box = scan("B1", "S1", "");
  in_box.box = "14";
  EXPECT_EQ(run({boxed}, {in_box}).line("B1").where, Whereabouts::at_home);
  in_box.box = "15";
  EXPECT_EQ(run({boxed}, {in_box}).line("B1").where, Whereabouts::elsewhere);
}

TEST(Reconcile, a_name_that_begins_alike_is_another_place) {
  EXPECT_FALSE(places_agree("Room 2", "Room 2, annex"));
  EXPECT_FALSE(places_agree("Room 2", "Room 22"));
  EXPECT_EQ(run({bag("B1", "Room 2")}, {scan("B1", "S1", "Room 2, annex")}).line("B1").where, Whereabouts::elsewhere);
}

TEST(Reconcile, a_print_that_is_seen_in_its_box_and_at_the_boxs_place_was_not_moved) {
  SeenReading in_box = scan("B1", "S1", "Room 2/Shelf 1");
  in_box.box = "14";
  EXPECT_TRUE(run({bag("B1")}, {scan("B1", "S1", "Room 2"), in_box}).totals.nothing_found());
  SeenReading in_another = in_box;
  in_another.box = "15";
  EXPECT_EQ(words(run({bag("B1")}, {in_box, in_another}).line("B1")), Words{"duplicate"});
}

TEST(Reconcile, every_bag_comes_once_in_order_and_sums_add_up) {
  std::vector<ExpectedBag> expected;
  std::vector<SeenReading> seen;
  for (int i = 0; i < 200; ++i) {
    if (i % 3 != 0) expected.push_back(bag(fmt::format("B{:04}", i)));
    if (i % 5 != 0) seen.push_back(scan(fmt::format("B{:04}", i), fmt::format("S{}", i)));
  }
  const Outcome outcome = run(expected, seen);
  for (std::size_t i = 1; i < outcome.lines.size(); ++i) EXPECT_LT(outcome.lines[i - 1].bag, outcome.lines[i].bag);
  std::int64_t missing = 0;
  std::int64_t extra = 0;
  for (int i = 0; i < 200; ++i) {
    missing += i % 3 != 0 && i % 5 == 0 ? 1 : 0;
    extra += i % 3 == 0 && i % 5 != 0 ? 1 : 0;
  }
  EXPECT_EQ(outcome.totals.count(Finding::not_found), missing);
  EXPECT_EQ(outcome.totals.count(Finding::extra), extra);
  EXPECT_EQ(outcome.totals.wanted(), static_cast<std::int64_t>(expected.size()));
}

TEST(Reconcile, streams_out_of_order_are_refused) {
  EXPECT_THROW((void)run({bag("B2"), bag("B1")}, {}), Error);
  EXPECT_THROW((void)run({bag("B1"), bag("B1")}, {}), Error);
  EXPECT_THROW((void)run({}, {scan("B2", "S"), scan("B1", "S")}), Error);
}

}  // namespace
}  // namespace sherdmark
