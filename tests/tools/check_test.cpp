// Photographs of the tool's own sheets go back into the tool. The pictures here are clean and flat (the labels cut from
// the previews and laid on grey); rendered photographs with blur and perspective are judged in tests/end_to_end.
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <iostream>
#include <sstream>

#include "session.h"
#include "tools/photographed_sheets.h"

namespace sherdmark::testing {
namespace {

class Check : public PhotographedSheets {};

TEST_F(Check, bag_tag_and_artifact_of_one_bag_agree_once_they_are_confirmed) {
  photograph("photo.png", whole_set(item_));
  EXPECT_EQ(verdict_of(1, {"@/photo.png"})["verdict"], "stale");
  confirm();
  const Json agreed = verdict_of(0, {"@/photo.png"});
  EXPECT_EQ(agreed["verdict"], "agree") << agreed;
  EXPECT_EQ(agreed["bag"], bag_of(item_));
  EXPECT_EQ(agreed["number"], item_);
  EXPECT_EQ(agreed["evidence"], "bag, tag and artifacts");
  EXPECT_EQ(agreed["seen"], 3);
  EXPECT_EQ(agreed["readings"].size(), 3U);
}

TEST_F(Check, what_does_not_belong_together_is_named) {
  confirm();
  const std::string bag = bag_of(item_);
  const std::string other = bag_of(metal_);
  photograph("tag.png", {cut(LabelRole::bag, bag), cut(LabelRole::tag, other), cut(LabelRole::artifact, item_)});
  EXPECT_EQ(verdict_of(1, {"@/tag.png"})["verdict"], "disagree");
  photograph("missing.png", {cut(LabelRole::bag, bag), cut(LabelRole::artifact, item_)});
  EXPECT_EQ(verdict_of(1, {"@/missing.png"})["verdict"], "incomplete");
  photograph("foreign.png",
             {cut(LabelRole::bag, bag), cut(LabelRole::tag, bag), cut(LabelRole::artifact, "2031-114-69b")});
  EXPECT_EQ(verdict_of(1, {"@/foreign.png"})["verdict"], "disagree");
}

// Beside a whole set: the code, which alone would name the other bag, is outside the picture.
TEST_F(Check, a_second_bag_label_or_tag_of_which_only_the_large_print_is_seen_makes_the_set_unreadable) {
  confirm();
  for (const LabelRole role : {LabelRole::bag, LabelRole::tag}) {
    std::vector<GreyPicture> labels = whole_set(item_);
    const GreyPicture second = cut(role, bag_of(metal_));
    GreyPicture part{second.width_px() * 3 / 5, second.height_px()};
    for (int y = 0; y < part.height_px(); ++y) std::copy_n(second.view().row(y), part.width_px(), part.row(y));
    labels.push_back(std::move(part));
    photograph("two.png", labels);
    const Json verdict = verdict_of(1, {"@/two.png"});
    EXPECT_EQ(verdict["verdict"], "unreadable") << to_text(role);
  }
}

TEST_F(Check, several_pictures_make_one_set_when_they_are_said_to) {
  confirm();
  const std::vector<GreyPicture> labels = whole_set(item_);
  photograph("a.png", {labels[0]});
  photograph("b.png", {labels[1], labels[2]});
  EXPECT_EQ(verdict_of(0, {"@/a.png", "@/b.png", "--set"})["verdict"], "agree");
  std::filesystem::create_directories(bench_.path("set"));
  photograph("set/a.png", {labels[0]});
  photograph("set/b.png", {labels[1], labels[2]});
  EXPECT_EQ(verdict_of(0, {"@/set", "--set"})["verdict"], "agree");
  const Json apart = Json::parse(bench_.expect(1, {"check", "@/set", "--json"}).out);
  EXPECT_EQ(apart["sets"].size(), 2U);
  EXPECT_EQ(apart["summary"]["agree"], 0);
}

TEST_F(Check, marked_pictures_go_where_asked_and_the_originals_stay_as_they_are) {
  confirm();
  photograph("photo.png", whole_set(item_));
  const std::string before = bench_.read("photo.png");
  std::set<std::string> expected = bench_.files();
  bench_.expect(0, {"check", "@/photo.png", "--marked", "@/marked"});
  expected.insert("marked/photo-marked.jpg");
  EXPECT_EQ(bench_.files(), expected);
  EXPECT_EQ(bench_.read("photo.png"), before);
  const std::string marked = bench_.read("marked/photo-marked.jpg");
  EXPECT_GT(read_image(as_byte_span(marked), "marked").front().grey.height_px(),
            read_image(as_byte_span(before), "photo").front().grey.height_px());
}

TEST_F(Check, a_verdict_is_kept_when_asked_and_shown_with_its_bag) {
  confirm();
  photograph("photo.png", whole_set(item_));
  bench_.expect(0, {"check", "@/photo.png"});
  EXPECT_EQ(Json::parse(bench_.expect(0, {"show", bag_of(item_), "--json"}).out)["bag"]["checks"].size(), 0U);
  bench_.expect(0, {"check", "@/photo.png", "--record"});
  const Json checks = Json::parse(bench_.expect(0, {"show", bag_of(item_), "--json"}).out)["bag"]["checks"];
  ASSERT_EQ(checks.size(), 1U);
  EXPECT_EQ(checks[0]["verdict"], "agree");
  EXPECT_EQ(checks[0]["person"], "R. Quill");
}

TEST_F(Check, an_image_that_cannot_be_read_is_named_and_the_others_are_still_judged) {
  confirm();
  std::filesystem::create_directories(bench_.path("photos"));
  photograph("photos/good.png", whole_set(item_));
  bench_.write("photos/bad.jpg", "this is no picture");
  bench_.write("photos/notes.txt", "washed on Tuesday");
  const ToolRun result = bench_.expect(3, {"check", "@/photos", "--json"});
  EXPECT_NE(result.err.find("@/photos/bad.jpg"), std::string::npos) << result.err;
  EXPECT_NE(result.err.find("@/photos: 1 file not looked at, because the name is not that of an image.\n"),
            std::string::npos);
  const Json document = Json::parse(result.out);
  ASSERT_EQ(document["sets"].size(), 1U);
  EXPECT_EQ(document["summary"]["agree"], 1);
  ASSERT_EQ(document["not_read"].size(), 1U) << result.out;
  EXPECT_EQ(document["not_read"][0]["image"], "@/photos/bad.jpg");
  EXPECT_FALSE(document["not_read"][0]["error"].get<std::string>().empty());
  bench_.expect(4, {"check", "@/photos/none.png"});
  // and the same set cannot agree when part of it is not known
  const ToolRun one_set = bench_.expect(3, {"check", "@/photos", "--set", "--json"});
  EXPECT_EQ(Json::parse(one_set.out)["sets"].size(), 0U);
  EXPECT_EQ(Json::parse(one_set.out)["not_read"], document["not_read"]);
  EXPECT_NE(one_set.err.find("no verdict on the set @/photos, because a picture of it could not be read"),
            std::string::npos)
      << one_set.err;
}

TEST_F(Check, read_lists_every_code_without_a_ledger) {
  photograph("photo.png", whole_set(item_));
  bench_.set("SHERDMARK_LEDGER", "/nonexistent/ledger");
  const Json document = Json::parse(bench_.expect(0, {"read", "@/photo.png", "--json"}).out);
  EXPECT_EQ(document["schema"], 1);
  ASSERT_EQ(document["images"].size(), 1U);
  ASSERT_EQ(document["images"][0]["codes"].size(), 2U);
  for (const Json& code : document["images"][0]["codes"]) {
    EXPECT_EQ(code["format"], "qr");
    EXPECT_EQ(code["ours"], true);
    EXPECT_EQ(code["corners"].size(), 4U);
  }
  bench_.write("bad.png", "no picture");
  EXPECT_FALSE(Json::parse(bench_.expect(3, {"read", "@/bad.png", "--json"}).out)["images"][0]["error"].is_null());
}

TEST_F(Check, wrong_wishes_are_explained) {
  std::filesystem::create_directories(bench_.path("empty"));
  EXPECT_EQ(bench_.expect(2, {"check", "@/empty"}).err,
            "sherdmark: there is no image in @/empty. Name images, or a folder of them.\n");
  photograph("a.png", whole_set(item_));
  photograph("b.png", whole_set(item_));
  EXPECT_EQ(bench_.expect(2, {"check", "@/a.png", "@/b.png", "--counted", "3"}).err,
            "sherdmark: --counted is for one bag, but there are several sets. Check that bag alone.\n");
  EXPECT_EQ(bench_.expect(2, {"check", "@/a.png", "--json", "--csv"}).err,
            "sherdmark: --json and --csv were both asked for. Choose one.\n");
}

TEST_F(Check, the_bar_says_how_fast_it_goes_and_how_long_it_will_take) {
  EXPECT_EQ(progress_line("reading", 0, 4, 0), "reading [                              ] 0/4");
  EXPECT_EQ(progress_line("reading", 1, 4, 2), "reading [=======                       ] 1/4  0.5/s, 6 s left");
  EXPECT_EQ(progress_line("reading", 100, 10'000, 5),
            "reading [                              ] 100/10000  20/s, 8:15 min left");
  EXPECT_EQ(progress_line("reading", 4, 4, 2), "reading [==============================] 4/4  2.0/s");
}

// A real process with a real signal, sent once the bar says that something has been read.
TEST_F(Check, an_interrupt_ends_with_the_verdicts_so_far_and_says_so) {
  confirm();
  constexpr std::size_t k_pictures = 60;
  photograph("many/00.png", whole_set(item_));
  for (std::size_t i = 1; i < k_pictures; ++i)
    std::filesystem::copy_file(bench_.path("many/00.png"), bench_.path("many/" + std::to_string(100 + i) + ".png"));
  const std::string out_file = bench_.path("verdicts.json").string();
  int from_child[2];
  ASSERT_EQ(::pipe(from_child), 0);
  const pid_t child = ::fork();
  ASSERT_GE(child, 0);
  if (child == 0) {
    ::dup2(from_child[1], 2);
    ::close(from_child[0]);
    SystemClock clock;
    SystemRandom random;
    Environment environment;
    environment.machine = "bench";
    environment.err_is_terminal = true;
    std::ostringstream out;
    const int code = run_sherdmark({"check", bench_.path("many").string(), "--json", "--save", out_file, "--ledger",
                                    bench_.path("collection.ledger").string()},
                                   {std::cin, out, std::cerr, clock, random, real_file_system()}, environment);
    ::_exit(code);
  }
  ::close(from_child[1]);
  std::string said;
  char byte = 0;
  while (said.find(" 1/60") == std::string::npos && ::read(from_child[0], &byte, 1) == 1) said += byte;
  ::kill(child, SIGINT);
  while (::read(from_child[0], &byte, 1) == 1) said += byte;
  ::close(from_child[0]);
  int status = 0;
  ::waitpid(child, &status, 0);
  ASSERT_TRUE(WIFEXITED(status)) << "the signal did not end it in the middle";
  EXPECT_EQ(WEXITSTATUS(status), 4);
  EXPECT_NE(said.find(" left"), std::string::npos) << said;
  const Json sets = Json::parse(bench_.read("verdicts.json"))["sets"];
  EXPECT_GE(sets.size(), 1U);
  EXPECT_LT(sets.size(), k_pictures);
  for (const Json& set : sets) EXPECT_EQ(set["verdict"], "agree") << "a verdict is only on what was read";
  EXPECT_NE(said.find("interrupted. " + std::to_string(sets.size()) + " of 60 pictures were read"), std::string::npos)
      << said;
}

}  // namespace
}  // namespace sherdmark::testing
