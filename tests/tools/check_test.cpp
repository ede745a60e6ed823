// Photographs of the tool's own sheets go back into the tool. The pictures here are clean and flat (the labels cut from
// the previews and laid on grey); rendered photographs with blur and perspective are judged in tests/end_to_end.
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
  bench_.expect(4, {"check", "@/photos/none.png"});
  // and the same set cannot agree when part of it is not known
  EXPECT_EQ(Json::parse(bench_.expect(3, {"check", "@/photos", "--set", "--json"}).out)["sets"].size(), 0U);
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

}  // namespace
}  // namespace sherdmark::testing
