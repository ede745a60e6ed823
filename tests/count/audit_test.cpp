// Draws and conclusions. Numbers are judged against published values and Boost.Math, named beside them.
#include <gtest/gtest.h>

#include <fmt/format.h>

#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/hypergeometric.hpp>
#include <set>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/count/audit.h"
#include "sherdmark/count/sampling.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

std::vector<AuditUnit> frame_of(int units, int groups = 1) {
  std::vector<AuditUnit> frame;
  for (int i = 0; i < units; ++i)
    frame.push_back({fmt::format("B7KM{:05}", i),
                     fmt::format("Room 2/Shelf {}", i % groups + 1),
                     fmt::format("Shelf {}", i % groups + 1),
                     {}});
  return frame;
}

AuditDesign design() {
  AuditDesign design;
  design.errors = usual_errors(design.direction);
  design.seed = "brushes";
  return design;
}

AuditRecord audited(PlannedAudit plan, const std::vector<std::string>& outcomes) {
  AuditRecord audit;
  audit.id = "A7KM00001";
  audit.design = std::move(plan.design);
  audit.draws = std::move(plan.draws);
  audit.drawn_by = "Ana Quill";
  for (std::size_t i = 0; i < audit.draws.size(); ++i) {
    audit.draws[i].outcome = i < outcomes.size() ? outcomes[i] : std::string{k_correct};
    audit.draws[i].person = "Ana Quill";
  }
  return audit;
}

// OSTI report 877925: 1000 items, "no more than 10 defective with 95 %" must detect 11 and takes 238.
TEST(Audit, the_size_of_a_discovery_draw_is_the_published_one) {
  AuditDesign wanted = design();
  wanted.tolerable = 0.011;
  const PlannedAudit plan = plan_audit(wanted, frame_of(1000));
  EXPECT_EQ(plan.design.tolerable_units, 11);
  EXPECT_EQ(plan.draws.size(), 238U);
  wanted.tolerable = 0.0101;  // rounded up: 10.1 is 11
  EXPECT_EQ(plan_audit(wanted, frame_of(1000)).design.tolerable_units, 11);
  wanted.tolerable = 0.01;
  EXPECT_EQ(plan_audit(wanted, frame_of(1000)).draws.size(), 258U);
}

TEST(Audit, the_size_is_the_smallest_that_boost_math_says_finds_one_over_a_grid) {
  for (const int units : {30, 120, 700})
    for (const double tolerable : {0.02, 0.1})
      for (const double confidence : {0.9, 0.99}) {
        AuditDesign wanted = design();
        wanted.tolerable = tolerable;
        wanted.confidence = confidence;
        const PlannedAudit plan = plan_audit(wanted, frame_of(units));
        const auto finds = [&](std::size_t drawn) {
          const boost::math::hypergeometric_distribution<double> judge(
              static_cast<unsigned>(plan.design.tolerable_units), static_cast<unsigned>(drawn),
              static_cast<unsigned>(units));
          return boost::math::support(judge).first > 0 ? 1.0 : 1 - boost::math::pdf(judge, 0U);
        };
        EXPECT_GE(finds(plan.draws.size()), confidence - 1e-9);
        if (plan.draws.size() > 1) {
          EXPECT_LT(finds(plan.draws.size() - 1), confidence);
        }
      }
}

// MIL-STD-105E, tables I and II-A: lot 1000, level II → J, 80; AQL 1.0 accepts 2.
TEST(Audit, a_plan_of_iso_2859_has_its_letter_size_and_acceptance_number) {
  AuditDesign wanted = design();
  wanted.method = AuditMethod::iso2859;
  wanted.level = "II";
  wanted.aql_percent = 1.0;
  const PlannedAudit plan = plan_audit(wanted, frame_of(1000));
  EXPECT_EQ(plan.design.letter, "J");
  EXPECT_EQ(plan.draws.size(), 80U);
  EXPECT_EQ(plan.design.accept, 2);
  const std::vector<ChainMember> nobody;
  EXPECT_EQ(conclude_audit(audited(plan, {"not found", "not found"}), nobody).accepted, true);
  EXPECT_EQ(conclude_audit(audited(plan, {"not found", "not inspected", "not found"}), nobody).accepted, false);
}

TEST(Audit, a_draw_can_be_repeated_with_sha256sum_and_follows_from_seed_and_names_alone) {
  AuditDesign wanted = design();
  wanted.method = AuditMethod::fixed;
  const PlannedAudit plan = plan_audit(wanted, frame_of(40), 5);
  std::vector<std::pair<std::string, std::string>> keyed;
  for (const AuditUnit& unit : frame_of(40)) {
    const auto judged = testing::run({"sha256sum"}, "brushes:" + unit.subject);
    keyed.emplace_back(judged.out.substr(0, 64), unit.subject);
  }
  std::sort(keyed.begin(), keyed.end());
  ASSERT_EQ(plan.draws.size(), 5U);
  for (std::size_t i = 0; i < 5; ++i) {
    EXPECT_EQ(plan.draws[i].subject, keyed[i].second);
    EXPECT_EQ(plan.draws[i].rank, static_cast<std::int64_t>(i + 1));
  }
  wanted.seed = "other brushes";
  EXPECT_NE(
      plan_audit(wanted, frame_of(40), 5).draws.front().subject + plan_audit(wanted, frame_of(40), 5).draws[1].subject,
      plan.draws.front().subject + plan.draws[1].subject);
}

// A unit's chance is the same for all: 2000 draws of 5 from 20 give each about 500; chi-square with 19 degrees of
// freedom exceeds 43.8 once in a thousand (tables).
TEST(Audit, every_unit_has_the_same_chance) {
  std::map<std::string, int> drawn;
  AuditDesign wanted = design();
  wanted.method = AuditMethod::fixed;
  for (int i = 0; i < 2000; ++i) {
    wanted.seed = std::to_string(i);
    for (const AuditDraw& draw : plan_audit(wanted, frame_of(20), 5).draws) ++drawn[draw.subject];
  }
  double chi = 0;
  for (const auto& [name, count] : drawn) chi += (count - 500.0) * (count - 500.0) / 500.0;
  EXPECT_EQ(drawn.size(), 20U);
  EXPECT_LT(chi, 43.8);
}

TEST(Audit, what_is_excluded_is_never_drawn_and_stands_with_its_reason) {
  AuditDesign wanted = design();
  wanted.method = AuditMethod::fixed;
  wanted.exclusions = {{"B7KM00003", "in the exhibition"}};
  std::vector<AuditUnit> frame = frame_of(10);
  frame[4].exclude = "care flag";
  const PlannedAudit plan = plan_audit(wanted, frame, 10);
  EXPECT_EQ(plan.design.frame, 8);
  EXPECT_EQ(plan.draws.size(), 8U);
  std::set<std::string> names;
  for (const AuditDraw& draw : plan.draws) names.insert(draw.subject);
  EXPECT_FALSE(names.contains("B7KM00003") || names.contains("B7KM00004"));
  ASSERT_EQ(plan.design.exclusions.size(), 2U);
  EXPECT_EQ(plan.design.exclusions[0].reason, "in the exhibition");
  EXPECT_EQ(plan.design.exclusions[1].reason, "care flag");
  wanted.exclusions = {{"nobody", "x"}};
  EXPECT_THROW((void)plan_audit(wanted, frame, 3), Error);
}

TEST(Audit, the_headline_counts_what_was_not_inspected_as_errors_and_beside_it_stands_the_bound_without) {
  AuditDesign wanted = design();
  wanted.method = AuditMethod::fixed;
  const AuditRecord audit =
      audited(plan_audit(wanted, frame_of(1000), 100), {"not found", "label wrong", "not inspected"});
  const AuditConclusion conclusion = conclude_audit(audit, {});
  EXPECT_EQ(conclusion.drawn, 100);
  EXPECT_EQ(conclusion.inspected, 99);
  const AuditBound& any = conclusion.bounds.front();
  EXPECT_EQ(any.errors, 2);
  EXPECT_EQ(any.most, hypergeometric_upper(3, 1000, 100, .95));
  EXPECT_EQ(any.most_inspected, hypergeometric_upper(2, 1000, 99, .95));
  // Boost.Math: the upper Clopper-Pearson bound is a beta quantile.
  EXPECT_NEAR(any.share_upper.value(), boost::math::quantile(boost::math::beta_distribution<double>(4, 97), .95), 1e-9);
  EXPECT_NEAR(any.share_upper_inspected.value(),
              boost::math::quantile(boost::math::beta_distribution<double>(3, 97), .95), 1e-9);
  EXPECT_EQ(conclusion.bounds.size(), 1U + wanted.errors.size());
  EXPECT_EQ(conclusion.bounds[1].name, "not found");
  EXPECT_EQ(conclusion.bounds[1].errors, 1);
}

// 1000 units, 100 drawn, none wrong: at most 28 of 1000 at 95 % (exact hypergeometric, computed twice independently).
TEST(Audit, the_statement_says_the_bound_and_whether_the_aim_is_met) {
  AuditDesign wanted = design();
  wanted.method = AuditMethod::fixed;
  wanted.tolerable = 0.03;
  const AuditConclusion good = conclude_audit(audited(plan_audit(wanted, frame_of(1000), 100), {}), {});
  EXPECT_NE(good.statement.find("at most 28 of 1000 (2.8 %)"), std::string::npos) << good.statement;
  EXPECT_EQ(good.tolerable_met, true);
  wanted.tolerable = 0.028;
  EXPECT_EQ(conclude_audit(audited(plan_audit(wanted, frame_of(1000), 100), {}), {}).tolerable_met, false);
}

TEST(Audit, a_discovery_draw_without_an_error_always_meets_its_own_aim) {
  for (const int units : {7, 50, 333, 1200})
    for (const double tolerable : {0.01, 0.05, 0.2}) {
      AuditDesign wanted = design();
      wanted.tolerable = tolerable;
      EXPECT_EQ(conclude_audit(audited(plan_audit(wanted, frame_of(units)), {}), {}).tolerable_met, true)
          << units << " " << tolerable;
    }
}

TEST(Audit, strata_all_get_their_share_and_bounds_are_added_at_a_higher_confidence) {
  AuditDesign wanted = design();
  wanted.method = AuditMethod::fixed;
  wanted.layout = AuditLayout::stratified;
  wanted.groups = AuditGroups::place;
  const PlannedAudit plan = plan_audit(wanted, frame_of(100, 4), 20);
  std::map<std::string, int> drawn;
  for (const AuditDraw& draw : plan.draws) ++drawn[draw.stratum];
  EXPECT_EQ(drawn.size(), 4U);
  for (const auto& [name, count] : drawn) EXPECT_EQ(count, 5) << name;
  const AuditConclusion conclusion = conclude_audit(audited(plan, {}), {});
  EXPECT_EQ(conclusion.bounds.front().most, 4 * hypergeometric_upper(0, 25, 5, 1 - .05 / 4));
  EXPECT_NE(plan.design.about.find("strata"), std::string::npos);
}

TEST(Audit, a_cluster_draw_never_claims_a_simple_bound) {
  AuditDesign wanted = design();
  wanted.method = AuditMethod::fixed;
  wanted.layout = AuditLayout::cluster;
  wanted.groups = AuditGroups::place;
  const PlannedAudit plan = plan_audit(wanted, frame_of(200, 20), 60);
  ASSERT_EQ(plan.draws.size(), 60U);  // six whole shelves of ten
  const AuditConclusion silent = conclude_audit(audited(plan, {}), {});
  EXPECT_FALSE(silent.bounds.front().share_upper.has_value());
  EXPECT_FALSE(silent.tolerable_met.has_value());
  EXPECT_NE(silent.statement.find("no bound can be given"), std::string::npos);
  // All errors on one shelf: alike, so the draw is worth much less than 60.
  const AuditConclusion alike = conclude_audit(audited(plan, std::vector<std::string>(8, "not found")), {});
  ASSERT_TRUE(alike.design_effect.has_value());
  EXPECT_TRUE(alike.design_effect_measured);
  EXPECT_GT(*alike.design_effect, 3.0);
  EXPECT_GT(alike.bounds.front().share_upper.value(), clopper_pearson_upper(8, 60, .95));
  EXPECT_FALSE(alike.bounds.front().most.has_value());
  wanted.design_effect = 2;
  const PlannedAudit more = plan_audit(wanted, frame_of(200, 20), 30);
  EXPECT_EQ(more.draws.size(), 60U);
  EXPECT_GE(conclude_audit(audited(more, {}), {}).bounds.front().share_upper.value(),
            clopper_pearson_upper(0, 30, .95) - 1e-12);
}

TEST(Audit, who_had_a_hand_in_what_was_drawn_is_said) {
  AuditDesign wanted = design();
  const AuditRecord audit = audited(plan_audit(wanted, frame_of(30)), {});
  const std::vector<ChainMember> chain{{"Ana Quill", 7}, {"Bo Reed", 90}};
  const AuditConclusion conclusion = conclude_audit(audit, chain);
  ASSERT_EQ(conclusion.auditors_in_chain.size(), 1U);
  EXPECT_NE(conclusion.statement.find("Not independent: Ana Quill (7 events)"), std::string::npos);
  EXPECT_NE(conclude_audit(audit, {}).statement.find("Independent: nobody who audited"), std::string::npos);
}

TEST(Audit, nothing_is_concluded_while_results_are_missing) {
  AuditRecord audit = audited(plan_audit(design(), frame_of(30)), {});
  audit.draws.back().outcome.clear();
  EXPECT_THROW((void)conclude_audit(audit, {}), Error);
}

TEST(Audit, the_list_is_walked_shelf_by_shelf_in_the_order_of_their_numbers) {
  std::vector<AuditDraw> draws;
  for (const char* place : {"Room 2/Shelf 10", "Room 2/Shelf 9", "Room 10/Shelf 1", "Room 2/Shelf 9"}) {
    AuditDraw draw;
    draw.rank = static_cast<std::int64_t>(draws.size()) + 1;
    draw.place = place;
    draw.subject = fmt::format("B{}", 9 - draw.rank);
    draws.push_back(draw);
  }
  std::vector<std::int64_t> order;
  for (const AuditDraw& draw : walking_order(draws)) order.push_back(draw.rank);
  EXPECT_EQ(order, (std::vector<std::int64_t>{4, 2, 1, 3}));
}

TEST(Audit, designs_that_contradict_themselves_are_refused) {
  AuditDesign wanted = design();
  wanted.layout = AuditLayout::cluster;
  EXPECT_THROW((void)plan_audit(wanted, frame_of(10)), Error);
  wanted = design();
  wanted.errors.clear();
  EXPECT_THROW((void)plan_audit(wanted, frame_of(10)), Error);
  EXPECT_THROW((void)plan_audit(design(), {}), Error);
}

}  // namespace
}  // namespace sherdmark
