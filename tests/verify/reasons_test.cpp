#include "sherdmark/verify/reasons.h"

#include <gtest/gtest.h>

#include <set>
#include <tuple>

#include "sherdmark/base/error.h"
#include "sherdmark/base/files.h"
#include "sherdmark/base/text.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

// The rows of every "| `code` | sentence | what to do |" table of the page, with the verdict of the heading above.
struct DocumentedRule {
  std::string verdict, code, sentence, remedy;
};

std::vector<DocumentedRule> documented_rules() {
  const auto page = read_text(real_file_system(), testing::source_dir() / "docs/verdicts.md");
  std::vector<DocumentedRule> rules;
  std::string verdict;
  for (const std::string& line : split(page, '\n')) {
    if (line.starts_with("### ")) verdict = line.substr(4);
    if (!line.starts_with("| `")) continue;
    const auto cells = split(line, '|');
    if (cells.size() != 5) continue;
    const std::string code{trim(cells[1])};
    rules.push_back(
        {verdict, code.substr(1, code.size() - 2), std::string{trim(cells[2])}, std::string{trim(cells[3])}});
  }
  return rules;
}

TEST(Reasons, PageAndTableSayTheSameInTheSameOrder) {
  const auto documented = documented_rules();
  const auto rules = reason_rules();
  ASSERT_EQ(documented.size(), rules.size());
  for (std::size_t i = 0; i < rules.size(); ++i) {
    EXPECT_EQ(documented[i].code, rules[i].code);
    EXPECT_EQ(documented[i].verdict, to_text(rules[i].verdict)) << rules[i].code;
    EXPECT_EQ(documented[i].sentence, rules[i].sentence) << rules[i].code;
    EXPECT_EQ(documented[i].remedy, rules[i].remedy.empty() ? "–" : rules[i].remedy) << rules[i].code;
  }
}

TEST(Reasons, CodesAreUniqueLowerCaseWordsAndStandInTheOrderOfTheVerdicts) {
  std::set<std::string_view> codes;
  Verdict last = Verdict::disagree;
  for (const ReasonRule& rule : reason_rules()) {
    EXPECT_TRUE(codes.insert(rule.code).second) << rule.code;
    EXPECT_EQ(rule.code.find_first_not_of("abcdefghijklmnopqrstuvwxyz-"), std::string_view::npos) << rule.code;
    EXPECT_LE(last, rule.verdict) << rule.code;
    last = rule.verdict;
    EXPECT_EQ(rule.remedy.empty(), rule.verdict == Verdict::agree) << rule.code;
    EXPECT_EQ(reason_rule(rule.id).code, rule.code);
    EXPECT_EQ(find_reason_rule(rule.code)->id, rule.id);
  }
  EXPECT_FALSE(find_reason_rule("no-such-code"));
}

TEST(Reasons, ValuesAreMadeSafeToPrint) {
  const Reason reason = make_reason(ReasonCode::no_number_record, {{"number", "12\x1b[31m"}, {"role", "tag"}});
  EXPECT_EQ(reason.text, "The number 12\\u{001B}[31m on the tag was read well, but no record carries it.");
  EXPECT_EQ(reason.verdict, Verdict::unknown);
}

TEST(Reasons, MissingValueIsOurOwnError) {
  EXPECT_THROW((void)make_reason(ReasonCode::wrong_tag, {{"other", "B2"}}), Error);
}

}  // namespace
}  // namespace sherdmark
