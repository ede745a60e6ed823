// What the tool offers somebody who calls it without a command, at a terminal.
#include <gtest/gtest.h>

#include "tools/bench.h"

namespace sherdmark::testing {
namespace {

TEST(DailyJobs, are_offered_only_to_a_person_at_a_terminal) {
  Bench bench;
  EXPECT_EQ(bench.expect(2, {}).out, "");
}

TEST(DailyJobs, lead_from_an_empty_folder_to_label_sheets_in_plain_questions) {
  Bench bench;
  bench.write("catalog.csv", small_samples().front().catalog);
  const std::string standard = sample("standards/ostervane.toml").string();
  bench.answer("2\n" + standard + "\n1\n" + bench.path("catalog.csv").string() + "\n2\n3\nbags\n" +
               bench.path("sheets").string() + "\n\n");
  const ToolRun talk = bench.expect(0, {});
  EXPECT_NE(talk.out.find("There is no ledger here yet"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("The ledger is"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("The same without questions: sherdmark init --standard="), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("The same without questions: sherdmark labels --for=bags"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("4 labels on 1 page"), std::string::npos) << talk.out;
  EXPECT_TRUE(bench.files().contains("collection.ledger"));
}

TEST(DailyJobs, what_goes_wrong_is_told_and_the_questions_go_on) {
  Bench bench;
  bench.answer("99\nx\n2\n\n2\n/none.toml\n");
  const ToolRun talk = bench.expect(4, {});
  EXPECT_NE(talk.out.find("There is no job \"99\""), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("There is no job \"x\""), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("needs an answer, so nothing was done."), std::string::npos) << talk.out;
  EXPECT_NE(talk.err.find("/none.toml: could not open the file"), std::string::npos) << talk.err;
}

TEST(DailyJobs, an_answer_is_a_value_never_an_option_and_escapes_stay_visible) {
  Bench bench;
  start_collection(bench, small_samples().front());
  bench.answer("14\n--json\n14\n\x1B[2Jx\n15\n-x.ledger\n\n");
  const ToolRun talk = bench.run({});
  EXPECT_NE(talk.err.find("nothing in this ledger is called \"--json\""), std::string::npos) << talk.err;
  EXPECT_EQ((talk.out + talk.err).find('\x1B'), std::string::npos);
  EXPECT_EQ(std::filesystem::remove("-x.ledger"), true) << "written under that very name";
}

TEST(DailyJobs, a_whole_day_goes_by_in_questions_from_the_bench_to_the_inventory) {
  Bench bench;
  start_collection(bench, small_samples().front());
  const std::string out = bench.path("out").string();
  bench.answer("2\n3\nbags\n" + out + "\n16\n8\n9\nno such bag\nRoom 2\n\n10\nRoom 1\n12\n13\n" + out + "/reports\n\n");
  const ToolRun talk = bench.run({});
  for (const char* line :
       {"sherdmark plan", "sherdmark labels --for=bags", "sherdmark verify-ledger", "sherdmark review",
        "sherdmark move '--to=Room 2' 'no such bag'", "sherdmark inventory open '--place=Room 1'",
        "sherdmark inventory status", "sherdmark inventory close --out="})
    EXPECT_NE(talk.out.find(std::string{"The same without questions: "} + line), std::string::npos) << line << talk.out;
  EXPECT_EQ(talk.err.find("sherdmark: The following argument"), std::string::npos) << talk.err;
}

TEST(DailyJobs, a_photograph_is_checked_and_kept_or_not_as_the_person_says) {
  Bench bench;
  start_collection(bench, small_samples().front());
  bench.answer("7\n" + bench.path("none.jpg").string() + "\n\nperhaps\n7\n" + bench.path("none.jpg").string() +
               "\n\nno\n7\n" + bench.path("none.jpg").string() + "\n\n\n\n");
  const ToolRun talk = bench.run({});
  EXPECT_NE(talk.out.find("so nothing was done"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("sherdmark check --marked=marked @/"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("sherdmark check --marked=marked --record @/"), std::string::npos) << talk.out;
  EXPECT_NE(talk.err.find("none.jpg"), std::string::npos) << talk.err;
}

TEST(DailyJobs, asks_who_somebody_is_when_nobody_said) {
  Bench bench;
  bench.set("SHERDMARK_BY", "");
  bench.answer("2\n" + sample("standards/ostervane.toml").string() + "\nR. Quill\n");
  EXPECT_NE(bench.expect(0, {}).out.find("Who are you"), std::string::npos);
}

constexpr std::string_view k_answers = "Quill Valley Museum\nx?y\n2031-114-12\nperhaps\nyes\n\n\n1\n20\nletter\nymd\n";

TEST(NewStandard, comes_from_plain_questions_and_a_collection_starts_with_it) {
  Bench bench;
  bench.answer("1\n" + std::string{k_answers} + "\n");
  const ToolRun talk = bench.expect(0, {});
  EXPECT_NE(talk.out.find("What is your repository called?"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("\"x?y\" is not taken as a catalog number"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("2031 (year), 114 (integer), 12 (integer)"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("Please answer no or yes."), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("from 5 to 500"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("Quill Valley Museum house standard"), std::string::npos) << talk.out;
  bench.write("catalog.csv", "number,object,material,largest_mm\n2031-114-12,body sherd,ceramic,40\n");
  bench.expect(0, {"intake", "@/catalog.csv"});
  EXPECT_NE(bench.expect(0, {"plan"}).out.find("2031-114-12"), std::string::npos);
}

TEST(NewStandard, is_never_written_over_one_that_is_there_and_questions_may_be_left) {
  Bench bench;
  bench.answer("Quill Valley Museum\n");
  EXPECT_NE(bench.expect(2, {"init"}).err.find("so nothing was made"), std::string::npos);
  EXPECT_TRUE(bench.files().empty());
  bench.write("house-standard.toml", "mine");
  bench.answer(std::string{k_answers});
  EXPECT_NE(bench.expect(4, {"init"}).err.find("already there"), std::string::npos);
  EXPECT_EQ(bench.read("house-standard.toml"), "mine");
}

}  // namespace
}  // namespace sherdmark::testing
