// What the sample standards decide. The practice behind the rules (nothing glued to corroding metal, leather, wet,
// waxed or friable surfaces; about one in ten of a bulk; half an inch at least): USACE EP 1130-2-540, the Louisiana
// Division of Archaeology's labeling page, and common practice.
#include <gtest/gtest.h>

#include "standard_samples.h"

namespace sherdmark {
namespace {

struct RuleRow {
  ItemKind kind;
  const char* material;
  const char* surface;
  std::optional<double> largest_mm;
  std::vector<std::string> flags;
  std::optional<std::int64_t> count;
  LabelDecision decision;
  std::int64_t labels;
  const char* rule;
};

void expect_rows(const HouseStandard& standard, const std::vector<RuleRow>& rows) {
  for (const RuleRow& row : rows) {
    const RuleOutcome outcome =
        decide_label(standard, {row.kind, row.material, "", row.surface, row.largest_mm, row.flags, row.count});
    EXPECT_EQ(outcome.decision, row.decision) << row.material << " " << row.surface << " by " << outcome.rule;
    EXPECT_EQ(outcome.labels, row.labels) << row.material << " by " << outcome.rule;
    EXPECT_EQ(outcome.rule, row.rule);
    EXPECT_FALSE(outcome.reason.empty());
  }
}

using enum ItemKind;
using enum LabelDecision;

TEST(LabelRules, TheInchStandardDecidesAsItSays) {
  expect_rows(sample_standard("quillow_ferry.toml"),
              {
                  // care flags before everything
                  {artifact, "Ceramic", "", 40.0, {"sacred"}, 1, never, 0, "care flags"},
                  {artifact, "Ceramic", "", 40.0, {"fragile", " Human_Remains "}, 1, never, 0, "care flags"},
                  {bulk, "Human bone", "", 40.0, {}, 30, never, 0, "human bone"},
                  // what is never glued
                  {artifact, "Iron, wrought", "sound", 80.0, {}, 1, tag_only, 0, "corroding metal"},
                  {artifact, "COPPER ALLOY", "", 80.0, {}, 1, tag_only, 0, "corroding metal"},
                  {artifact, "Leather", "", 80.0, {}, 1, tag_only, 0, "organic"},
                  {artifact, "Ceramic", "Waxed exterior", 80.0, {}, 1, tag_only, 0, "unsound surface"},
                  {artifact, "Bone", "wet", 80.0, {}, 1, tag_only, 0, "unsound surface"},
                  {artifact, "Daub", "friable/powdery", 80.0, {}, 1, tag_only, 0, "unsound surface"},
                  {sample, "Soil", "", std::nullopt, {}, std::nullopt, tag_only, 0, "samples"},
                  // whole words only
                  {artifact, "Ironstone", "sound", 80.0, {}, 1, direct, 1, "sound and large enough"},
                  // size: half an inch is 12.7 mm
                  {artifact, "Glass", "", 9.0, {}, 1, tag_only, 0, "too small"},
                  {artifact, "Glass", "", 12.6, {}, 1, tag_only, 0, "too small"},
                  {artifact, "Glass", "", 12.7, {}, 1, direct, 1, "sound and large enough"},
                  {artifact, "Glass", "", std::nullopt, {}, 1, tag_only, 0, "size not recorded"},
                  // shares: one in ten rounded up, at least five, never more than there are
                  {bulk, "Ceramic", "", 30.0, {}, 347, direct, 35, "bulk"},
                  {bulk, "Ceramic", "", 30.0, {}, 30, direct, 5, "bulk"},
                  {bulk, "Ceramic", "", 30.0, {}, 60, direct, 6, "bulk"},
                  {bulk, "Ceramic", "", 30.0, {}, 61, direct, 7, "bulk"},
                  {bulk, "Ceramic", "", 30.0, {}, 3, direct, 3, "bulk"},
                  {bulk, "Shell", "", 30.0, {}, std::nullopt, direct, 5, "bulk"},
                  {bulk, "Lithic debitage", "", 8.0, {}, 200, tag_only, 0, "bulk of small pieces"},
                  {assembly, "Ceramic", "", 180.0, {}, 7, direct, 7, "mended vessels and sets"},
              });
}

TEST(LabelRules, TheMetricStandardDecidesAsItSays) {
  expect_rows(sample_standard("ostervane.toml"),
              {
                  {artifact, "flint", "", 15.0, {}, 1, direct, 1, "large enough"},
                  {artifact, "flint", "", 14.9, {}, 1, tag_only, 0, "small or not measured"},
                  {artifact, "flint", "", std::nullopt, {}, 1, tag_only, 0, "small or not measured"},
                  {bulk, "pottery", "", 20.0, {}, 100, direct, 5, "bulk finds"},
                  {bulk, "pottery", "", 20.0, {}, 2, direct, 2, "bulk finds"},
                  {artifact, "copper alloy, gilt", "", 20.0, {}, 1, tag_only, 0, "metal"},
                  {artifact, "bone", "", 20.0, {"funerary"}, 1, never, 0, "care flags"},
              });
}

TEST(LabelRules, AnObjectThatNoRuleNamesGetsATagOnly) {
  HouseStandard standard = sample_standard("ostervane.toml");
  standard.rules.clear();
  const RuleOutcome outcome = decide_label(standard, {artifact, "flint", "", "", 30.0, {}, 1});
  EXPECT_EQ(outcome.decision, tag_only);
  EXPECT_EQ(outcome.labels, 0);
  EXPECT_NE(outcome.reason.find("no rule"), std::string::npos);
}

TEST(LabelRules, SubNumberingAndCautionsComeFromTheRule) {
  const HouseStandard standard = sample_standard("quillow_ferry.toml");
  const RuleOutcome vessel = decide_label(standard, {assembly, "Ceramic", "", "", 180.0, {}, 7});
  EXPECT_EQ(vessel.numbering, Numbering::sub_numbered);
  EXPECT_NE(vessel.caution.find("joins"), std::string::npos);
  const RuleOutcome many = decide_label(standard, {bulk, "Ceramic", "", "", 30.0, {}, 347});
  EXPECT_EQ(many.numbering, Numbering::shared);
}

}  // namespace
}  // namespace sherdmark
