#include "sherdmark/verify/judge.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

#include "sherdmark/base/text.h"
#include "sherdmark/verify/reasons.h"
#include "support/test_support.h"
#include "verify/truth_table.h"

namespace sherdmark {
namespace {

using testing::build_case;
using testing::read_truth_table;
using testing::TruthCase;
using testing::TruthRow;
using testing::TruthTable;

const TruthTable& truth_table() {
  static const TruthTable k_table = read_truth_table(testing::test_data("verify/truth_table.tsv"));
  return k_table;
}

std::string codes_of(const SetVerdict& verdict) {
  std::vector<std::string> codes;
  for (const Reason& reason : verdict.reasons) codes.push_back(reason.code);
  return join(codes, " ");
}

// The rules are the project's own (docs/verdicts.md); the table is their plain statement, row by row.
TEST(TruthTable, EveryRowComesOutAsItSays) {
  for (const TruthRow& row : truth_table().rows) {
    SCOPED_TRACE("truth_table.tsv line " + std::to_string(row.line) + ": " + row.name);
    const TruthCase the_case = build_case(truth_table(), row);
    const SetVerdict verdict = judge(the_case.set, the_case.collection, the_case.standard);
    EXPECT_EQ(to_text(verdict.verdict), row.verdict);
    EXPECT_EQ(codes_of(verdict), row.reasons);
    EXPECT_EQ(to_text(verdict.evidence), row.evidence);
    EXPECT_EQ(std::to_string(verdict.expected), row.expected);
    EXPECT_EQ(std::to_string(verdict.seen), row.seen);
  }
}

TEST(TruthTable, CoversEveryVerdictAndEveryReasonThatCanOccur) {
  ASSERT_GE(truth_table().rows.size(), 80U);
  std::map<std::string, int> rows_of;
  for (const TruthRow& row : truth_table().rows)
    for (const std::string& code : split(row.reasons, ' ')) ++rows_of[code];
  for (const ReasonRule& rule : reason_rules()) {
    if (rule.id == ReasonCode::not_accounted) continue;  // the guard against our own oversight; nothing reaches it
    EXPECT_GE(rows_of[std::string{rule.code}], 1) << rule.code << " has no row";
  }
}

// What a set shows does not hang on the order in which its labels were found.
TEST(Judge, OrderOfTheReadingsChangesNeitherVerdictNorReasons) {
  for (const TruthRow& row : truth_table().rows) {
    SCOPED_TRACE(row.name);
    TruthCase the_case = build_case(truth_table(), row);
    const SetVerdict forward = judge(the_case.set, the_case.collection, the_case.standard);
    std::reverse(the_case.set.readings.begin(), the_case.set.readings.end());
    const SetVerdict backward = judge(the_case.set, the_case.collection, the_case.standard);
    EXPECT_EQ(forward.verdict, backward.verdict);
    const auto sorted = [](const SetVerdict& verdict) {
      std::multiset<std::string> codes;
      for (const Reason& reason : verdict.reasons) codes.insert(reason.code);
      return codes;
    };
    EXPECT_EQ(sorted(forward), sorted(backward));
  }
}

TEST(Judge, ReasonsStandInTheOrderOfTheVerdictsAndTheFirstDecides) {
  for (const TruthRow& row : truth_table().rows) {
    SCOPED_TRACE(row.name);
    const TruthCase the_case = build_case(truth_table(), row);
    const SetVerdict verdict = judge(the_case.set, the_case.collection, the_case.standard);
    ASSERT_FALSE(verdict.reasons.empty());
    EXPECT_EQ(verdict.verdict, verdict.reasons.front().verdict);
    for (std::size_t i = 1; i < verdict.reasons.size(); ++i)
      EXPECT_LE(verdict.reasons[i - 1].verdict, verdict.reasons[i].verdict);
  }
}

// Nothing required is taken on trust: without any one of its labels an agreeing set agrees no more. Left out are rows
// whose standard asks for less, and labels that only support (field tags, places, former numbers beside new ones).
TEST(Judge, AgreementNeedsEveryOneOfItsRequiredLabels) {
  int tried = 0;
  for (const TruthRow& row : truth_table().rows) {
    if (row.verdict != "agree" || row.records.find("standard") != std::string::npos) continue;
    const TruthCase the_case = build_case(truth_table(), row);
    const SetVerdict whole = judge(the_case.set, the_case.collection, the_case.standard);
    for (const Reading& left_out : the_case.set.readings) {
      const bool carrier = left_out.role == LabelRole::bag || left_out.role == LabelRole::tag;
      bool required = carrier;
      if (left_out.role == LabelRole::artifact)
        for (const ExpectedArtifact& artifact : the_case.collection.expected_artifacts(whole.bag.value()))
          required = required || artifact.number == left_out.number;
      if (!required) continue;
      ReadingSet fewer = the_case.set;
      std::erase_if(fewer.readings, [&](const Reading& other) {
        return carrier ? other.serial == left_out.serial : other.number == left_out.number;
      });
      EXPECT_EQ(judge(fewer, the_case.collection, the_case.standard).verdict, Verdict::incomplete) << row.name;
      ++tried;
    }
  }
  EXPECT_GT(tried, 80);
}

TEST(Judge, SensitiveBagsNumberStaysOutOfTheVerdict) {
  TruthRow row;
  row.records = "sensitive B1; print Q1 bag B1 12-3";
  row.readings = "B1b number=K9X2 opaque; B1t number=K9X2 opaque; a 12-3";
  const TruthCase the_case = build_case(truth_table(), row);
  const SetVerdict verdict = judge(the_case.set, the_case.collection, the_case.standard);
  EXPECT_EQ(verdict.number, std::nullopt);
  EXPECT_EQ(verdict.bag, "B1");
}

TEST(Judge, IdsStandInReasonsAsLabelsPrintThem) {
  const struct {
    std::string records, readings, text;
  } rows[] = {{"bag B7KM00007 holds 12-3:1/1; carriers B7KM00007 12-3; print X9 box X7KM00002 X7KM00002",
               "B7KM00007b; B7KM00007t; a 12-3; X9",
               "Bag B-7KM-00007 was seen with box X-7KM-00002, but the ledger has it in no box."},
              {"bag B7KM00007 holds 12-3:1/1; carriers B7KM00007 12-3; print X9 box X7KM00002 Drawer_9",
               "B7KM00007b; B7KM00007t; a 12-3; X9",
               "Bag B-7KM-00007 was seen with box Drawer_9, but the ledger has it in no box."},
              {"bag B7KM00007 holds 12-3:1/1; carriers B7KM00007 12-3", "B7KM00007b; B2t",
               "The tag belongs to bag B2, but the bag label is of bag B-7KM-00007."},
              {"bag B7KM00007 holds 12-6:1/1; carriers B7KM00007 12-6; bag B7KM00008 holds 12-77:1/1; item 12-77",
               "B7KM00007b; B7KM00007t; a 12-77",
               "The artifact 12-77 does not belong in bag B-7KM-00007; it is recorded in bag B-7KM-00008."}};
  for (const auto& one : rows) {
    TruthRow row;
    row.records = one.records;
    row.readings = one.readings;
    const TruthCase the_case = build_case(truth_table(), row);
    const SetVerdict verdict = judge(the_case.set, the_case.collection, the_case.standard);
    const bool said =
        std::ranges::any_of(verdict.reasons, [&](const Reason& reason) { return reason.text == one.text; });
    EXPECT_TRUE(said) << one.text << " / " << (verdict.reasons.empty() ? "" : verdict.reasons.front().text);
  }
}

TEST(Judge, SaysWhatNoPhotographShows) {
  SetVerdict verdict;
  verdict.unlabelled = 344;
  EXPECT_EQ(not_tested(verdict),
            "Not tested: that each object is the object its label names. 344 pieces carry no label and were not tested "
            "at all.");
  verdict.unlabelled = 0;
  EXPECT_EQ(not_tested(verdict), "Not tested: that each object is the object its label names.");
  verdict.unlabelled.reset();
  EXPECT_EQ(not_tested(verdict),
            "Not tested: that each object is the object its label names. How many pieces carry no label is not "
            "recorded.");
}

}  // namespace
}  // namespace sherdmark
