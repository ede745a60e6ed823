// What restricts an item restricts it everywhere, however its flag is spelled. Common practice, no source.
#include <gtest/gtest.h>

#include "ledger/ledger_samples.h"
#include "sherdmark/ledger/audits.h"
#include "sherdmark/ledger/inventory.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

using testing::FreshLedger;

struct CareFlags : ::testing::TestWithParam<const char*> {};

TEST_P(CareFlags, restrict_label_bag_inventory_and_draw_alike_in_any_spelling) {
  FreshLedger s;
  auto restricted = testing::in_bags(testing::row(s.standard, "16ZQ5/2.7", "stone", 2), {{"B1", {}}});
  restricted.flags = {"fragile", GetParam()};
  (void)testing::take_in(
      s.ledger, s.ana, {restricted, testing::in_bags(testing::row(s.standard, "16ZQ5/3.1", "stone", 1), {{"B2", {}}})});
  const RuleOutcome outcome = decide_label(s.standard, {.kind = ItemKind::artifact,
                                                        .material = "stone",
                                                        .object = {},
                                                        .surface = {},
                                                        .largest_mm = 40.0,
                                                        .flags = restricted.flags,
                                                        .count = 2});
  EXPECT_EQ(outcome.decision, LabelDecision::never) << outcome.reason;

  std::string bag;
  for (const BagRecord& one : s.ledger.bags()) {
    const bool holds_it = one.contents.at(0).item == "16ZQ5/2.7";
    EXPECT_EQ(one.sensitive, holds_it) << "the outside of that bag alone must not tell its number";
    if (holds_it) bag = one.id;
  }
  for (const AuditUnit& unit : audit_frame(s.ledger, AuditUnitKind::bag, {}, AuditGroups::none))
    EXPECT_EQ(unit.exclude, unit.subject == bag ? "care flag" : "") << unit.subject;

  const std::string inventory = open_inventory(s.ledger, s.ana, {});
  EXPECT_TRUE(s.ledger.verify().good());
  InventoryStreams streams{s.ledger, inventory};
  ExpectedBag expected;
  int exempt = 0;
  while (streams.next_expected(expected)) exempt += expected.bag == bag && expected.exempt == "restricted" ? 1 : 0;
  EXPECT_EQ(exempt, 1);
}

INSTANTIATE_TEST_SUITE_P(Spellings, CareFlags,
                         ::testing::Values("human_remains", "Human_Remains", "HUMAN REMAINS", " human-remains ",
                                           "Human  remains"));

TEST(CareFlag, is_not_every_flag_that_looks_a_little_like_one) {
  const HouseStandard standard = FreshLedger{}.standard;
  EXPECT_FALSE(is_care_flag(standard, "human"));
  EXPECT_FALSE(is_care_flag(standard, "humanremains?"));
  EXPECT_FALSE(is_care_flag(standard, ""));
}

}  // namespace
}  // namespace sherdmark
