// Catalogs coming in: what is compared, what is made, what becomes stale.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>

#include "ledger/ledger_samples.h"
#include "sherdmark/base/error.h"
#include "sherdmark/ledger/plan_labels.h"

namespace sherdmark {
namespace {

using testing::FreshLedger;
using testing::in_bags;
using testing::row;
using testing::take_in;

std::vector<std::string> numbers_of(const BagRecord& bag) {
  std::vector<std::string> numbers;
  for (const BagContent& content : bag.contents) numbers.push_back(content.item);
  return numbers;
}

CatalogRow full_row(const HouseStandard& standard) {
  CatalogRow full = in_bags(row(standard, "16ZQ5/2.7", "stoneware", 12), {{"B1", 5}, {"B2", 7}});
  full.kind = ItemKind::bulk;
  full.surface = "glazed";
  full.weight_g = 0.1;
  full.volume_ml = 1.0 / 3.0;
  full.largest_mm = 41.25;
  full.status = "on loan";
  full.flags = {"fragile", "funerary"};
  full.former_numbers = {"Old 7", "OLD/8"};
  full.field_number = "FN 12";
  full.assembly = "Crock A";
  full.stratum = "II";
  full.feature = "Pit 4";
  full.excavators = "Zoë Ångström; R. \"Bo\" O'Hare";
  full.place = "Room 2/Range A/Shelf 3";
  full.box = "Box 9";
  full.remarks = "-10 cmbs\nsecond line\t\\";
  full.extra = {{"UTM East", "654321"}, {"Ware", "+N20E15"}};
  return full;
}

TEST(Intake, a_row_comes_back_exactly_as_it_came_in) {
  FreshLedger fresh;
  const CatalogRow full = full_row(fresh.standard);
  (void)take_in(fresh.ledger, fresh.ana, {full});
  const CatalogRow back = fresh.ledger.catalog_rows().at(0);
  EXPECT_EQ(back.number, full.number);
  EXPECT_EQ(back.kind, full.kind);
  EXPECT_EQ(back.weight_g, full.weight_g);
  EXPECT_EQ(back.volume_ml, full.volume_ml);
  EXPECT_EQ(back.flags, full.flags);
  EXPECT_EQ(back.former_numbers, full.former_numbers);
  EXPECT_EQ(back.field_number, full.field_number);
  EXPECT_EQ(back.assembly, full.assembly);
  EXPECT_EQ(back.bags, full.bags);
  EXPECT_EQ(back.excavators, full.excavators);
  EXPECT_EQ(back.depth_bottom_cm, full.depth_bottom_cm);
  EXPECT_EQ(back.place, full.place);
  EXPECT_EQ(back.box, full.box);
  EXPECT_EQ(back.remarks, full.remarks);
  EXPECT_EQ(back.extra, full.extra);
  EXPECT_EQ(back.status, full.status);
}

TEST(Intake, the_same_catalog_twice_changes_nothing_and_is_no_event) {
  FreshLedger fresh;
  const std::vector<CatalogRow> rows = {full_row(fresh.standard),
                                        in_bags(row(fresh.standard, "16ZQ5/2.8"), {{"B1", {}}}),
                                        row(fresh.standard, "16ZQ5/3.1", "flint", {})};
  const IntakeResult first = take_in(fresh.ledger, fresh.ana, rows);
  EXPECT_EQ(first.added, 3U);
  EXPECT_EQ(first.bags_made, 2U);
  EXPECT_EQ(first.without_bag, std::vector<std::string>{"16ZQ5/3.1"}) << "bags by column, and the column was empty";
  const std::int64_t events = testing::count_events(fresh.ledger);
  const IntakeDiff diff = fresh.ledger.diff_catalog(rows);
  EXPECT_TRUE(diff.nothing_to_do());
  EXPECT_EQ(diff.unchanged, 3U);
  EXPECT_TRUE(diff.vanished.empty());
  EXPECT_TRUE(diff.stale.empty());
  (void)fresh.ledger.apply_intake(fresh.ana, rows, diff, {"finds.csv", true});
  EXPECT_EQ(testing::count_events(fresh.ledger), events);
  EXPECT_TRUE(fresh.ledger.diff_catalog(fresh.ledger.catalog_rows()).nothing_to_do())
      << "an export comes back unchanged";
}

TEST(Intake, rows_that_share_a_mark_share_a_bag_within_their_accession) {
  FreshLedger fresh;
  CatalogRow other_accession = in_bags(row(fresh.standard, "16ZQ5/9.1"), {{"B1", {}}});
  other_accession.accession = "2031.7";
  (void)take_in(fresh.ledger, fresh.ana,
                {in_bags(row(fresh.standard, "16ZQ5/2.7"), {{"B1", {}}}),
                 in_bags(row(fresh.standard, "16ZQ5/2.8"), {{"B1", {}}}), other_accession});
  const auto bags = fresh.ledger.bags();
  ASSERT_EQ(bags.size(), 2U);
  EXPECT_EQ(numbers_of(bags[0]), (std::vector<std::string>{"16ZQ5/2.7", "16ZQ5/2.8"}));
  EXPECT_EQ(fresh.ledger.bag_mark(bags[0].id), "B1");
  EXPECT_EQ(bags[0].id, "B" + fresh.ana.station + "00001");
}

TEST(Intake, quantities_are_made_whole_from_the_count) {
  const struct {
    std::vector<BagShare> shares;
    std::optional<std::int64_t> count;
    std::vector<std::optional<std::int64_t>> quantities;
  } cases[] = {{{{"A", {}}}, 12, {12}},
               {{{"A", 5}, {"B", {}}}, 12, {5, 7}},
               {{{"A", {}}, {"B", {}}}, 12, {std::nullopt, std::nullopt}},
               {{{"A", {}}}, std::nullopt, {std::nullopt}},
               {{{"A", 5}, {"A", 2}}, 7, {7}}};
  for (const auto& one : cases) {
    FreshLedger fresh;
    (void)take_in(fresh.ledger, fresh.ana,
                  {in_bags(row(fresh.standard, "16ZQ5/2.7", "pottery", one.count), one.shares)});
    std::vector<std::optional<std::int64_t>> quantities;
    for (const BagRecord& bag : fresh.ledger.bags()) quantities.push_back(bag.contents.at(0).quantity);
    EXPECT_EQ(quantities, one.quantities);
    const BagContent content = fresh.ledger.bags().at(0).contents.at(0);
    EXPECT_EQ(content.unlabelled, content.quantity) << "nothing is labelled before there is a plan";
  }
}

TEST(Intake, one_bag_per_item_and_per_lot_follow_the_house_standard) {
  for (const Bagging bagging : {Bagging::one_bag_per_item, Bagging::one_bag_per_lot}) {
    std::string text = testing::ferry_standard().source;
    const std::string by_column = "bagging = \"by column\"";
    text.replace(
        text.find(by_column), by_column.size(),
        bagging == Bagging::one_bag_per_lot ? "bagging = \"one bag per lot\"" : "bagging = \"one bag per item\"");
    FreshLedger fresh{parse_house_standard(text, "changed")};
    const std::vector<CatalogRow> rows = {row(fresh.standard, "16ZQ5/2.7"), row(fresh.standard, "16ZQ5/2.8")};
    (void)take_in(fresh.ledger, fresh.ana, rows);
    EXPECT_EQ(fresh.ledger.bags().size(), bagging == Bagging::one_bag_per_lot ? 1U : 2U);
    (void)take_in(fresh.ledger, fresh.ana, {rows[0], rows[1], row(fresh.standard, "16ZQ5/2.9")});
    EXPECT_EQ(fresh.ledger.bags().size(), bagging == Bagging::one_bag_per_lot ? 1U : 3U);
    EXPECT_TRUE(fresh.ledger.verify().good());
  }
}

TEST(Intake, changes_are_told_field_by_field_and_restricted_values_are_not_told) {
  FreshLedger fresh;
  CatalogRow changed = full_row(fresh.standard);
  (void)take_in(fresh.ledger, fresh.ana, {changed});
  changed.material = "earthenware";
  changed.count = 13;
  changed.bags[1].quantity = 8;
  changed.flags.push_back("sacred");
  changed.extra[0].second = "999999";
  const IntakeDiff diff = fresh.ledger.diff_catalog(std::vector{changed});
  ASSERT_EQ(diff.changed.size(), 1U);
  std::vector<std::string> told;
  for (const FieldChange& change : diff.changed[0].fields)
    told.push_back(change.field + ":" + change.before + ">" + change.after + (change.restricted ? "!" : ""));
  EXPECT_EQ(told, (std::vector<std::string>{"material:stoneware>earthenware", "count:12>13", "flags:>!",
                                            "bags:B1 (5); B2 (7)>B1 (5); B2 (8)", "UTM East:>!"}));
  (void)take_in(fresh.ledger, fresh.ana, {changed});
  for (const HistoryLine& line : fresh.ledger.history("16ZQ5/2.7")) {
    EXPECT_EQ(line.text.find("999999"), std::string::npos) << line.text;
    EXPECT_EQ(line.text.find("sacred"), std::string::npos) << line.text;
  }
  EXPECT_NE(fresh.ledger.history("16ZQ5/2.7").back().text.find("material from \"stoneware\" to \"earthenware\""),
            std::string::npos);
}

TEST(Intake, a_changed_field_makes_exactly_the_labels_stale_that_print_it) {
  FreshLedger fresh;
  CatalogRow item = in_bags(row(fresh.standard, "16ZQ5/2.7", "pottery", 3), {{"B1", {}}});
  (void)take_in(fresh.ledger, fresh.ana, {item});
  const std::string bag = fresh.ledger.bags().at(0).id;
  (void)fresh.ledger.store_plan(fresh.ana, testing::plan_of(fresh.ledger, bag, 3, "first text"));
  const PrintRun tags = fresh.ledger.start_run(fresh.ana, LabelRole::tag);
  fresh.ledger.record_pages(fresh.ana, tags.id, {1}, {});
  (void)fresh.ledger.confirm_printed(fresh.ana, tags.id, {});

  item.remarks = "weathered";  // printed nowhere
  EXPECT_TRUE(fresh.ledger.diff_catalog(std::vector{item}).stale.empty());
  (void)take_in(fresh.ledger, fresh.ana, {item});

  item.material = "porcelain";  // printed on bag label and tag
  const IntakeDiff diff = fresh.ledger.diff_catalog(std::vector{item});
  ASSERT_EQ(diff.stale.size(), 2U);
  EXPECT_EQ(diff.changed.at(0).stale.size(), 2U);
  for (const StaleLabel& label : diff.stale) EXPECT_EQ(label.live_prints, label.role == LabelRole::tag ? 1 : 0);
  const IntakeResult result = take_in(fresh.ledger, fresh.ana, {item});
  EXPECT_EQ(result.prints_superseded, 1U);
  EXPECT_EQ(fresh.ledger.find_print(tags.prints.at(0).print.serial)->state, PrintState::superseded);
  EXPECT_TRUE(fresh.ledger.live_prints(bag, LabelRole::tag).empty());
  EXPECT_EQ(fresh.ledger.labels(LabelRole::tag).at(0).revision, 2);
  EXPECT_THROW((void)fresh.ledger.start_run(fresh.ana, LabelRole::tag), Error) << "its new text is not planned yet";
  const PlanResult planned = fresh.ledger.store_plan(fresh.ana, testing::plan_of(fresh.ledger, bag, 3, "second text"));
  EXPECT_EQ(planned.labels_revised, 0) << "the revision was raised when the catalog changed";
  EXPECT_EQ(fresh.ledger.start_run(fresh.ana, LabelRole::tag).prints.at(0).print.revision, 2);
  EXPECT_TRUE(fresh.ledger.verify().good());
}

// Rows are written by the batch, and what a row shares with the one in its place of the batch before is not said again.
TEST(Intake, of_many_rows_each_keeps_its_own_values) {
  FreshLedger fresh;
  SeededRandom random{11};
  std::vector<CatalogRow> rows;
  for (int i = 1; i <= 333; ++i) {
    CatalogRow one = row(fresh.standard, "16ZQ5/" + std::to_string(i / 100 + 1) + "." + std::to_string(i));
    const auto sometimes = [&random] { return random.below(3) == 0; };
    if (sometimes()) one.object = "sherd \"" + std::to_string(random.below(3)) + "\"";
    if (sometimes()) one.material = std::vector{"stone", "", "glass"}[random.below(3)];
    if (sometimes()) one.count = std::nullopt;
    if (sometimes()) one.weight_g = static_cast<double>(random.below(3)) / 2;
    if (sometimes()) one.status = "on loan";
    if (sometimes()) one.flags = {"sacred"};
    if (sometimes()) one.remarks = "r" + std::to_string(random.below(2));
    if (sometimes()) one.place = "Room " + std::to_string(random.below(2));
    if (sometimes()) one.box = "Box " + std::to_string(random.below(2));
    if (sometimes()) one.extra = {{"Munsell", "5YR 5/4"}};
    if (sometimes()) one.bags = {{"B" + std::to_string(random.below(400)), std::nullopt}};
    rows.push_back(std::move(one));
  }
  (void)take_in(fresh.ledger, fresh.ana, rows);
  for (const CatalogRow& one : rows) {
    const auto item = fresh.ledger.find_item(one.number.text());
    ASSERT_TRUE(item) << one.number.text();
    CatalogRow stored = item->row;
    stored.row = one.row;
    stored.number = one.number;
    EXPECT_EQ(stored.bags.size(), one.bags.size()) << one.number.text();
    stored.bags = one.bags;  // their quantities follow the count
    EXPECT_EQ(stored, one) << one.number.text();
  }
  EXPECT_EQ(fresh.ledger.diff_catalog(rows).unchanged, rows.size());
}

TEST(Intake, an_item_that_must_no_longer_be_labelled_makes_its_artifact_label_stale) {
  FreshLedger fresh;
  CatalogRow item = in_bags(row(fresh.standard, "16ZQ5/2.7", "stone", 1), {{"B1", {}}});
  item.largest_mm = 60;
  ASSERT_EQ(decide_label(fresh.standard, rule_subject(item)).decision, LabelDecision::direct);
  (void)take_in(fresh.ledger, fresh.ana, {item});
  (void)fresh.ledger.store_plan(fresh.ana, testing::plan_of(fresh.ledger, fresh.ledger.bags()[0].id, 1, "text"));
  EXPECT_FALSE(fresh.ledger.find_number("16ZQ5/2.7").never_label);
  item.flags = {"sacred"};
  const IntakeDiff diff = fresh.ledger.diff_catalog(std::vector{item});
  EXPECT_TRUE(std::ranges::any_of(diff.stale, [](const StaleLabel& l) { return l.role == LabelRole::artifact; }));
  (void)take_in(fresh.ledger, fresh.ana, {item});
  EXPECT_TRUE(fresh.ledger.find_number("16ZQ5/2.7").never_label) << "the plan that allowed it is older than the flag";
  EXPECT_TRUE(fresh.ledger.bags()[0].sensitive);
}

TEST(Intake, vanished_items_are_reported_and_only_marked_missing_when_asked) {
  FreshLedger fresh;
  const CatalogRow stays = row(fresh.standard, "16ZQ5/2.7");
  CatalogRow elsewhere = row(fresh.standard, "16ZQ6/1.1");
  elsewhere.accession = "2031.7";
  (void)take_in(fresh.ledger, fresh.ana, {stays, row(fresh.standard, "16ZQ5/2.8"), elsewhere});
  const std::vector<CatalogRow> rest = {stays};
  const IntakeDiff diff = fresh.ledger.diff_catalog(rest);
  EXPECT_EQ(diff.vanished, std::vector<std::string>{"16ZQ5/2.8"}) << "another accession is not this file's business";
  const std::int64_t events = testing::count_events(fresh.ledger);
  (void)fresh.ledger.apply_intake(fresh.ana, rest, diff, {"finds.csv", false});
  EXPECT_EQ(testing::count_events(fresh.ledger), events);
  EXPECT_EQ(fresh.ledger.apply_intake(fresh.ana, rest, diff, {"finds.csv", true}).vanished_marked, 1U);
  EXPECT_EQ(fresh.ledger.find_item("16ZQ5/2.8")->row.status, "missing");
  EXPECT_EQ(fresh.ledger.history("16ZQ5/2.8").size(), 2U);
}

TEST(Intake, a_diff_of_yesterday_is_refused) {
  FreshLedger fresh;
  const std::vector<CatalogRow> rows = {row(fresh.standard, "16ZQ5/2.7")};
  const IntakeDiff diff = fresh.ledger.diff_catalog(rows);
  fresh.ledger.register_person(fresh.ana, "Bo Reed");
  EXPECT_THROW((void)fresh.ledger.apply_intake(fresh.ana, rows, diff, {}), Error);
  EXPECT_TRUE(fresh.ledger.catalog_rows().empty());
}

TEST(Intake, a_number_that_stands_twice_is_refused_naming_it) {
  FreshLedger fresh;
  const std::vector<CatalogRow> rows = {row(fresh.standard, "16ZQ5/2.7"), row(fresh.standard, "16ZQ5/2.7")};
  try {
    (void)fresh.ledger.diff_catalog(rows);
    FAIL() << "no error";
  } catch (const Error& error) {
    EXPECT_EQ(error.family(), ErrorFamily::data);
    EXPECT_NE(std::string{error.what()}.find("16ZQ5/2.7"), std::string::npos);
  }
}

TEST(Intake, an_item_that_moves_to_another_bag_leaves_none_half_full) {
  FreshLedger fresh;
  CatalogRow item = in_bags(row(fresh.standard, "16ZQ5/2.7", "pottery", 4), {{"B1", {}}});
  (void)take_in(fresh.ledger, fresh.ana, {item});
  item.bags = {{"B2", {}}};
  (void)take_in(fresh.ledger, fresh.ana, {item});
  const auto bags = fresh.ledger.bags();
  ASSERT_EQ(bags.size(), 2U);
  EXPECT_EQ(bags[0].state, BagState::retired);
  EXPECT_TRUE(bags[0].contents.empty());
  EXPECT_EQ(bags[1].contents.at(0).quantity, 4);
  EXPECT_EQ(fresh.ledger.bags_of_item("16ZQ5/2.7"), std::vector<std::string>{bags[1].id});
  EXPECT_TRUE(fresh.ledger.diff_catalog(std::vector{item}).nothing_to_do());
}

TEST(Intake, lots_carry_their_provenience_and_assemblies_their_members) {
  FreshLedger fresh;
  CatalogRow one = row(fresh.standard, "16ZQ5/2.7");
  CatalogRow two = row(fresh.standard, "16ZQ5/3.1");
  one.assembly = two.assembly = "Crock A";
  two.unit = "N22E15";
  (void)take_in(fresh.ledger, fresh.ana, {one, two});
  ASSERT_EQ(fresh.ledger.lots().size(), 2U);
  EXPECT_EQ(fresh.ledger.find_lot("16ZQ5/3")->unit, "N22E15");
  EXPECT_EQ(fresh.ledger.find_lot("16ZQ5/3")->depth_bottom_cm, 30.5);
  EXPECT_EQ(fresh.ledger.assembly_members("Crock A"), (std::vector<std::string>{"16ZQ5/2.7", "16ZQ5/3.1"}));
  two.unit = "N24E15";
  (void)take_in(fresh.ledger, fresh.ana, {one, two});
  EXPECT_EQ(fresh.ledger.find_lot("16ZQ5/3")->unit, "N24E15");
  EXPECT_EQ(fresh.ledger.find_lot("16ZQ5/2")->unit, "N20E15");
  EXPECT_EQ(fresh.ledger.items_of_lot("16ZQ5/3").size(), 1U);
}

TEST(Intake, numbers_lead_to_items_lots_field_numbers_and_former_numbers) {
  FreshLedger fresh;
  CatalogRow one = row(fresh.standard, "16ZQ5/2.7");
  one.former_numbers = {"Old 7", "16zq5/8.1"};  // the second parses to 16ZQ5/8.1
  one.field_number = "FN 12";
  CatalogRow two = row(fresh.standard, "16ZQ5/2.8");
  two.former_numbers = {"Old 7"};
  (void)take_in(fresh.ledger, fresh.ana, {one, two});
  const struct {
    const char* number;
    NumberMeaning meaning;
    std::vector<std::string> items;
  } cases[] = {{"16ZQ5/2.7", NumberMeaning::item, {"16ZQ5/2.7"}},
               {"16ZQ5/2", NumberMeaning::lot, {"16ZQ5/2.7", "16ZQ5/2.8"}},
               {"FN 12", NumberMeaning::field_number, {"16ZQ5/2.7"}},
               {"Old 7", NumberMeaning::former_number, {"16ZQ5/2.7", "16ZQ5/2.8"}},
               {"16zq5/8.1", NumberMeaning::former_number, {"16ZQ5/2.7"}},
               {"16ZQ5/8.1", NumberMeaning::former_number, {"16ZQ5/2.7"}},
               {"old 7", NumberMeaning::unknown, {}},
               {"", NumberMeaning::unknown, {}}};
  for (const auto& one_case : cases) {
    const NumberRecord record = fresh.ledger.find_number(one_case.number);
    EXPECT_EQ(record.meaning, one_case.meaning) << one_case.number;
    EXPECT_EQ(record.items, one_case.items) << one_case.number;
  }
  EXPECT_EQ(fresh.ledger.find_number("FN 12").bound_to, "16ZQ5/2");
}

TEST(Intake, containers_have_a_home_and_a_now_in_a_tree_of_places) {
  FreshLedger fresh;
  (void)take_in(fresh.ledger, fresh.ana, {full_row(fresh.standard)});
  const BagRecord bag = fresh.ledger.bags().at(0);
  EXPECT_EQ(bag.home_place, "Room 2/Range A/Shelf 3");
  EXPECT_EQ(bag.now_place, "Room 2/Range A/Shelf 3");
  EXPECT_EQ(bag.box, "Box 9");
  const std::filesystem::path file = fresh.file();
  fresh.close();
  const auto places =
      testing::run({"sqlite3", file.string(),
                    "SELECT c.name, p.path FROM places c LEFT JOIN places p ON p.id = c.parent ORDER BY c.id"});
  EXPECT_EQ(places.out, "Room 2|\nRange A|Room 2\nShelf 3|Room 2/Range A\n");
}

// Marks that count up, marks that fall back, and marks that come again: each is one bag.
TEST(Intake, rows_that_share_a_mark_share_a_bag_in_whatever_order_marks_come) {
  FreshLedger fresh;
  const std::vector<std::vector<BagShare>> marks = {{{"B2", {}}}, {{"B10", {}}},          {{"B9", {}}}, {{"B10", {}}},
                                                    {{"B2", {}}}, {{"B9", 1}, {"B1", 2}}, {{"B1", {}}}, {{"B11", {}}}};
  std::vector<CatalogRow> rows;
  for (std::size_t i = 0; i < marks.size(); ++i)
    rows.push_back(in_bags(row(fresh.standard, "16ZQ5/3." + std::to_string(i + 1), "stone", 3), marks[i]));
  rows.push_back(in_bags(row(fresh.standard, "16ZQ5/4.1", "stone", 3), {{"B2", {}}}));
  rows.back().accession = "2031.9";  // another B2
  EXPECT_EQ(take_in(fresh.ledger, fresh.ana, rows).bags_made, 6U);
  std::map<std::string, std::vector<std::string>> held;
  std::vector<std::string> order;
  for (const BagRecord& bag : fresh.ledger.bags()) {
    const std::string mark = fresh.ledger.bag_mark(bag.id);
    order.push_back(mark);
    for (const std::string& number : numbers_of(bag)) held[mark].push_back(number);
  }
  EXPECT_EQ(order, (std::vector<std::string>{"B2", "B10", "B9", "B1", "B11", "B2"}));
  EXPECT_EQ(held["B2"], (std::vector<std::string>{"16ZQ5/3.1", "16ZQ5/3.5", "16ZQ5/4.1"}));
  EXPECT_EQ(held["B10"], (std::vector<std::string>{"16ZQ5/3.2", "16ZQ5/3.4"}));
  EXPECT_EQ(held["B9"], (std::vector<std::string>{"16ZQ5/3.3", "16ZQ5/3.6"}));
  EXPECT_EQ(held["B1"], (std::vector<std::string>{"16ZQ5/3.6", "16ZQ5/3.7"}));
}

}  // namespace
}  // namespace sherdmark
