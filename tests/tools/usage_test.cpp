// Command lines that are wrong: exit code 2, one line that says what and where help is, and nothing is touched.
#include <gtest/gtest.h>

#include <ostream>

#include "tools/bench.h"

namespace sherdmark::testing {
namespace {

struct UsageRow {
  std::vector<std::string> arguments;
  std::string err;
};

void PrintTo(const UsageRow& row, std::ostream* out) { *out << row.err; }

class Usage : public ::testing::TestWithParam<UsageRow> {};

TEST_P(Usage, is_explained_and_changes_nothing) {
  Bench bench;
  const ToolRun result = bench.expect(2, GetParam().arguments);
  EXPECT_EQ(result.err, GetParam().err + "\n");
  EXPECT_EQ(result.out, "");
  EXPECT_TRUE(bench.files().empty());
}

INSTANTIATE_TEST_SUITE_P(
    CommandLines, Usage,
    ::testing::Values(
        UsageRow{{}, "sherdmark: no command was given. See: sherdmark --help"},
        UsageRow{{"frobnicate"}, "sherdmark: there is no command \"frobnicate\". See: sherdmark --help"},
        UsageRow{{"label", "--for", "bags"},
                 "sherdmark: there is no command \"label\". Did you mean \"labels\"? See: sherdmark --help"},
        UsageRow{{"Pritned", "R7KM00001"},
                 "sherdmark: there is no command \"Pritned\". Did you mean \"printed\"? See: sherdmark --help"},
        UsageRow{{"\x1B[2Jx"}, "sherdmark: there is no command \"\\u{001B}[2Jx\". See: sherdmark --help"},
        UsageRow{
            {"init"},
            "sherdmark: no house standard was named. Say --standard FILE, or call init at a terminal, where it asks "
            "its questions."},
        UsageRow{{"intake"}, "sherdmark intake: file is required. See: sherdmark intake --help"},
        UsageRow{{"plan", "--preview"},
                 "sherdmark plan: The following argument was not expected: --preview. See: sherdmark plan --help"},
        UsageRow{{"plan", "office"},
                 "sherdmark plan: The following argument was not expected: office. A name with spaces stands in "
                 "quotation marks. See: sherdmark plan --help"},
        UsageRow{{"labels", "--for", "bags"}, "sherdmark labels: --out is required. See: sherdmark labels --help"},
        UsageRow{{"labels", "--for", "bags", "--out", "@", "--preview-dpi", "5"},
                 "sherdmark labels: --preview-dpi: Value 5 not in range 30 to 1200. See: sherdmark labels --help"},
        UsageRow{{"printed"}, "sherdmark printed: run is required. See: sherdmark printed --help"},
        UsageRow{
            {"export", "everything"},
            "sherdmark export: what: everything not in {catalog,bags,labels,events}. See: sherdmark export --help"},
        UsageRow{
            {"export", "events"},
            "sherdmark: events hold every column, the restricted ones too. Ask for them with --with-restricted; it "
            "is written into the history."}));

TEST(Usage, somebody_must_be_named_before_anything_is_written) {
  Bench bench;
  bench.set("SHERDMARK_BY", " ");
  const ToolRun result = bench.expect(2, {"init", "--standard", sample("standards/ostervane.toml").string()});
  EXPECT_EQ(result.err,
            "sherdmark: nobody was named, and the ledger keeps who does what. Say who you are with --by \"YOUR NAME\", "
            "or once for this window with export SHERDMARK_BY=\"YOUR NAME\".\n");
  EXPECT_TRUE(bench.files().empty());
}

class Help : public ::testing::TestWithParam<std::string> {};

TEST_P(Help, explains_every_option_and_shows_an_example) {
  Bench bench;
  const ToolRun result = bench.expect(0, {GetParam(), "--help"});
  EXPECT_NE(result.out.find("Example:\n  sherdmark " + GetParam()), std::string::npos) << result.out;
  EXPECT_EQ(result.err, "");
}

INSTANTIATE_TEST_SUITE_P(Commands, Help,
                         ::testing::Values("init", "intake", "plan", "labels", "printed", "read", "check", "show",
                                           "history", "export", "type", "calibrate", "soak-test"));

TEST(Help, is_also_what_the_word_help_asks_for) {
  Bench bench;
  EXPECT_EQ(bench.expect(0, {"help"}).out, bench.expect(0, {"--help"}).out);
  EXPECT_EQ(bench.expect(0, {"help", "labels"}).out, bench.expect(0, {"labels", "--help"}).out);
}

TEST(Help, of_a_command_that_there_is_not_says_so) {
  Bench bench;
  for (const std::vector<std::string>& asked : {std::vector<std::string>{"help", "lables"}, {"lables", "--help"}}) {
    const ToolRun result = bench.expect(2, asked);
    EXPECT_EQ(result.out, "");
    EXPECT_EQ(result.err,
              "sherdmark: there is no command \"lables\". Did you mean \"labels\"? See: sherdmark --help\n");
  }
  EXPECT_EQ(bench.expect(0, {"help", "help"}).out, bench.expect(0, {"--help"}).out);
}

TEST(Help, lists_every_command_and_the_exit_codes) {
  Bench bench;
  const ToolRun result = bench.expect(0, {"--help"});
  for (const char* command : {"init", "intake", "plan", "labels", "printed", "read", "check", "show", "history",
                              "export", "type", "calibrate", "soak-test"})
    EXPECT_NE(result.out.find(std::string{"\n  "} + command), std::string::npos) << command;
  EXPECT_NE(result.out.find("0 fine, 1 findings, 2 usage, 3 bad input, 4 environment, 70 our own bug"),
            std::string::npos);
}

}  // namespace
}  // namespace sherdmark::testing
