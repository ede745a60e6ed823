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

TEST(DailyJobs, ask_for_the_name_once_and_again_only_when_it_may_be_wrong) {
  Bench bench;
  start_collection(bench, small_samples().front());
  bench.set("SHERDMARK_BY", "");
  bench.answer("2\nNobody\n2\nR. Quill\n2\n2\n\n");
  const std::string talk = bench.expect(0, {}).out;
  std::size_t asked = 0;
  for (std::size_t at = talk.find("Who are you"); at != std::string::npos; at = talk.find("Who are you", at + 1))
    ++asked;
  EXPECT_EQ(asked, 2U) << talk;
}

constexpr std::string_view k_answers =
    "Quill Valley Museum\nx?y\n2031 114 12\n2031/1\nno\n2031-114-12\n\nperhaps\nyes\n\n\n1\n20 mm\nletter\nymd\n";

TEST(NewStandard, comes_from_plain_questions_and_a_collection_starts_with_it) {
  Bench bench;
  bench.answer("1\n" + std::string{k_answers} + "\n");
  const ToolRun talk = bench.expect(0, {});
  EXPECT_NE(talk.out.find("What is your repository called?"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("\"x?y\" is not taken as a catalog number"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("between 2031 and 114 stands only a space"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("2031 (year), 1 (number). The last"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("2031 (year), 114 (number), 12 (number)"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("Please answer no or yes."), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("from 5 to 500"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("Quill Valley Museum house standard"), std::string::npos) << talk.out;
  bench.write("catalog.csv", "number,object,material,largest_mm\n2031-114-12,body sherd,ceramic,40\n");
  bench.expect(0, {"intake", "@/catalog.csv"});
  EXPECT_NE(bench.expect(0, {"plan"}).out.find("2031-114-12"), std::string::npos);
  EXPECT_NE(bench.expect(0, {"show", "2031-114"}).out.find("Lot 2031-114: 1 item"), std::string::npos);
}

TEST(NewStandard, letters_in_front_and_the_letter_of_a_piece_are_asked_about) {
  Bench bench;
  bench.answer("Quill Valley Museum\nQF 2031/114.12b\n\n\n\nyes\n\nlot\n12\na4\ndmy\n");
  const ToolRun talk = bench.expect(0, {"init"});
  EXPECT_NE(talk.out.find("Is b the letter of one piece of item 12?"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("It will be printed as QF2031/114.12;"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("Does every number begin with QF?"), std::string::npos) << talk.out;
  EXPECT_NE(talk.out.find("Next, try your catalog"), std::string::npos) << talk.out;
  bench.write("catalog.csv",
              "Inv. no.,object,material,place\nQF 2031/114.12,rim,ceramic,Room 2\nqf2031/115.1b,rim,ceramic,Room 2\n");
  EXPECT_NE(bench.expect(0, {"intake", "@/catalog.csv"}).out.find("2 new items, 0 changed items, 2 new bags"),
            std::string::npos);
  bench.write("other.csv", "number,object,material\nQE2031/1.1,rim,ceramic\n");
  EXPECT_NE(bench.expect(3, {"intake", "@/other.csv"}).err.find("nothing was taken in"), std::string::npos);
}

TEST(NewStandard, who_makes_a_ledger_is_asked_at_a_terminal_and_refused_elsewhere) {
  Bench bench;
  bench.set("SHERDMARK_BY", " ");
  const std::vector<std::string> init = {"init", "--standard", sample("standards/ostervane.toml").string()};
  EXPECT_NE(bench.expect(2, init).err.find("nobody was named"), std::string::npos);
  EXPECT_TRUE(bench.files().empty());
  bench.answer("\n  \nR. Quill\n");
  EXPECT_NE(bench.expect(0, init).out.find("What is your name?"), std::string::npos);
  bench.expect(0, {"register", "M. Oduya", "--by", "R. Quill"});
  EXPECT_EQ(bench.expect(4, init).out, "") << "nobody is asked for what will be refused";
}

TEST(NewStandard, the_name_is_asked_before_the_rules_and_without_it_nothing_is_made) {
  Bench bench;
  bench.set("SHERDMARK_BY", "");
  bench.answer("R. Quill\n" + std::string{k_answers});
  const std::string talk = bench.expect(0, {"init"}).out;
  EXPECT_LT(talk.find("What is your name?"), talk.find("What is your repository called?"));
  bench.expect(0, {"register", "M. Oduya", "--by", "R. Quill"});
  Bench silent;
  silent.set("SHERDMARK_BY", "");
  silent.answer("");
  EXPECT_NE(silent.expect(2, {"init"}).err.find("so nothing was made"), std::string::npos);
  EXPECT_NE(silent.expect(2, {"init", "--json"}).err.find("nobody was named"), std::string::npos);
  EXPECT_TRUE(silent.files().empty());
}

TEST(NewStandard, without_numbers_for_its_lots_no_standard_is_taken_and_the_remedy_makes_it_fit) {
  Bench bench;
  bench.answer(std::string{k_answers});
  bench.expect(0, {"init"});
  const std::string good = bench.read("house-standard.toml");
  const std::string with = "optional = true\nlargest = 9999\n";
  ASSERT_NE(good.find(with), std::string::npos) << good;
  std::string bad = good;
  bad.replace(bad.find(with), with.size(), "largest = 9999\n");
  bench.write("bad.toml", bad);
  for (const ToolRun& refused : {bench.expect(3, {"standard", "--adopt", "@/bad.toml"}),
                                 bench.expect(3, {"init", "--standard", "@/bad.toml", "--ledger", "@/other.ledger"})})
    EXPECT_NE(refused.err.find("bad.toml: In the scheme \"numbers\" the part \"lot 2\" names a lot, but no number may "
                               "end after it, so no lot would have a number. Write optional = true under the part "
                               "\"item 3\""),
              std::string::npos)
        << refused.err;
  bench.write("good.toml", good);
  bench.expect(0, {"standard", "--adopt", "@/good.toml"});
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
