// What a person adds to the reading of pictures: sets told apart by cards, a watched folder, labels keyed blind,
// overrides with a second person, and print grades that are kept.
#include <gtest/gtest.h>

#include "sherdmark/code/cards.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/code/symbol.h"
#include "tools/photographed_sheets.h"

namespace sherdmark::testing {
namespace {

class Review : public PhotographedSheets {
 protected:
  // The set with its artifact label's end covered by a grey finger.
  void photograph_covered(const std::string& name) {
    std::vector<GreyPicture> labels = whole_set(item_);
    GreyPicture& label = labels.back();
    for (int y = 0; y < label.height_px(); ++y)
      std::fill(label.row(y) + label.width_px() * 7 / 10, label.row(y) + label.width_px(), std::uint8_t{120});
    photograph(name, labels);
  }

  // Checks and keeps the covered set; writes its crops. Returns the table's text with `keyed` as every answer.
  std::string answers(const std::string& keyed) {
    confirm();
    photograph_covered("covered.png");
    bench_.expect(1, {"check", "@/covered.png", "--record"});
    bench_.expect(0, {"review", "--crops", "@/crops"});
    std::string table = "crop,keyed\n";
    for (const std::string& file : bench_.files())
      if (file.starts_with("crops/") && file.ends_with(".jpg")) table += file.substr(6) + "," + keyed + "\n";
    return table;
  }

  std::string newest_verdict() {
    const Json bag = Json::parse(bench_.expect(0, {"show", bag_of(item_), "--json"}).out)["bag"];
    return bag["checks"].back()["verdict"];
  }
  std::size_t checks_kept() {
    return Json::parse(bench_.expect(0, {"show", bag_of(item_), "--json"}).out)["bag"]["checks"].size();
  }

  GreyPicture card(const std::string& set) {
    const std::string key =
        Json::parse(bench_.expect(0, {"read", "@/key.png", "--json"}).out)["images"][0]["codes"][0]["text"];
    const auto link = parse_code_text(key);
    const SymbolMatrix symbol = make_qr(write_divider(link.link->collection_key, set), ErrorLevel::q);
    constexpr int k_module = 6;
    const int side = (symbol.width_modules + 8) * k_module;
    GreyPicture picture{side, side};
    for (int y = 0; y < symbol.height_modules; ++y)
      for (int x = 0; x < symbol.width_modules; ++x)
        if (symbol.is_dark(x, y))
          for (int row = 0; row < k_module; ++row)
            std::fill_n(picture.row((y + 4) * k_module + row) + (x + 4) * k_module, k_module, std::uint8_t{0});
    return picture;
  }
};

TEST_F(Review, a_covered_label_that_a_person_keys_blind_makes_the_set_agree) {
  const std::string table = answers(item_);
  EXPECT_EQ(newest_verdict(), "unreadable");
  EXPECT_EQ(bench_.read("crops/answers.csv").find(item_), std::string::npos);
  bench_.write("answers.csv", table);
  const Json reviewed = Json::parse(bench_.expect(0, {"review", "--answers", "@/answers.csv", "--json"}).out);
  ASSERT_EQ(reviewed["sets"].size(), 1U);
  EXPECT_EQ(reviewed["sets"][0]["verdict_before"], "unreadable");
  EXPECT_EQ(reviewed["sets"][0]["verdict"], "agree");
  EXPECT_EQ(newest_verdict(), "agree");
  EXPECT_EQ(checks_kept(), 2U);
  EXPECT_NE(bench_.expect(0, {"history", bag_of(item_)}).out.find("Reviewed: 1 of 1"), std::string::npos);
  bench_.expect(0, {"verify-ledger"});
  // and nothing is asked twice
  EXPECT_EQ(Json::parse(bench_.expect(0, {"review", "--answers", "@/answers.csv", "--json"}).out)["sets"].size(), 0U);
}

TEST_F(Review, another_number_disagrees_and_an_unreadable_crop_stays_unreadable) {
  const std::string other = answers("2031-114-69b");
  bench_.write("other.csv", other);
  EXPECT_EQ(Json::parse(bench_.expect(1, {"review", "--answers", "@/other.csv", "--json"}).out)["sets"][0]["verdict"],
            "disagree");
  bench_.expect(1, {"check", "@/covered.png", "--record"});
  bench_.expect(0, {"review", "--crops", "@/again"});
  std::string table = "crop,keyed\n";
  for (const std::string& file : bench_.files())
    if (file.starts_with("again/") && file.ends_with(".jpg")) table += file.substr(6) + ",\n";
  bench_.write("empty.csv", table);
  EXPECT_EQ(Json::parse(bench_.expect(1, {"review", "--answers", "@/empty.csv", "--json"}).out)["sets"][0]["verdict"],
            "unreadable");
}

TEST_F(Review, place_and_count_that_were_said_are_judged_again) {
  (void)answers(item_);
  struct Row {
    std::vector<std::string> said;
    std::string verdict;
    std::string reason;
  };
  bench_.expect(0, {"move", bag_of(item_), "--to", "Room 2/Shelf 1", "--home", "--new-place"});
  const std::vector<Row> rows = {{{"--place", "Room 2/Shelf 9"}, "misplaced", "wrong-place"},
                                 {{"--counted", "9"}, "disagree", "pieces-over"},
                                 {{"--place", "Room 2/Shelf 1"}, "agree", "complete"}};
  for (const Row& row : rows) {
    std::vector<std::string> check = {"check", "@/covered.png", "--record"};
    check.insert(check.end(), row.said.begin(), row.said.end());
    bench_.expect(1, check);
    std::filesystem::remove_all(bench_.path("crops"));
    bench_.expect(0, {"review", "--crops", "@/crops"});
    std::string keyed = "crop,keyed\n";
    for (const std::string& file : bench_.files())
      if (file.starts_with("crops/") && file.ends_with(".jpg")) keyed += file.substr(6) + "," + item_ + "\n";
    bench_.write("answers.csv", keyed);
    const Json reviewed = Json::parse(
        bench_.expect(row.verdict == "agree" ? 0 : 1, {"review", "--answers", "@/answers.csv", "--json"}).out);
    EXPECT_EQ(reviewed["sets"][0]["verdict"], row.verdict) << row.said[1];
    EXPECT_EQ(reviewed["sets"][0]["reasons"][0]["code"], row.reason) << reviewed;
  }
  bench_.expect(0, {"verify-ledger"});
}

TEST_F(Review, a_picture_that_was_changed_or_is_gone_is_refused_until_it_is_back) {
  const std::string table = answers(item_);
  bench_.write("answers.csv", table);
  const std::string before = bench_.read("covered.png");
  const std::vector<std::vector<std::string>> ways = {{"review", "--crops", "@/more"},
                                                      {"review", "--answers", "@/answers.csv"}};
  photograph("covered.png", whole_set(item_));
  for (const auto& way : ways) {
    const std::string said = bench_.expect(3, way).err;
    EXPECT_NE(said.find("@/covered.png: this is not the picture that was checked"), std::string::npos) << said;
    EXPECT_NE(said.find("Put the picture as it was back"), std::string::npos) << said;
  }
  std::filesystem::remove(bench_.path("covered.png"));
  for (const auto& way : ways) {
    const ToolRun refused = bench_.expect(4, way);
    EXPECT_NE(refused.err.find("@/covered.png: the picture that was checked"), std::string::npos) << refused.err;
    EXPECT_EQ(refused.out.find("Nothing is waiting"), std::string::npos) << refused.out;
  }
  EXPECT_EQ(checks_kept(), 1U);
  bench_.write("covered.png", before);
  bench_.expect(0, ways[1]);
  EXPECT_EQ(newest_verdict(), "agree");
}

TEST_F(Review, ledger_and_pictures_may_move_together) {
  const std::string table = answers(item_);
  std::filesystem::create_directories(bench_.path("moved"));
  for (const char* file : {"collection.ledger", "covered.png"})
    std::filesystem::rename(bench_.path(file), bench_.path("moved") / file);
  bench_.write("answers.csv", table);
  bench_.set("SHERDMARK_LEDGER", bench_.path("moved/collection.ledger").string());
  bench_.expect(0, {"review", "--answers", "@/answers.csv"});
}

TEST_F(Review, an_answer_that_makes_no_sense_is_named_and_nothing_is_kept) {
  bench_.write("answers.csv", answers("what?"));
  const ToolRun run = bench_.expect(3, {"review", "--answers", "@/answers.csv"});
  EXPECT_NE(run.err.find("makes no sense: \"what?\""), std::string::npos) << run.err;
  EXPECT_EQ(checks_kept(), 1U);
  bench_.write("columns.csv", "picture,text\n1,2\n");
  EXPECT_NE(bench_.expect(3, {"review", "--answers", "@/columns.csv"}).err.find("no column \"crop\""),
            std::string::npos);
}

TEST_F(Review, sets_whose_answers_make_sense_are_not_kept_either_when_one_of_another_set_makes_none) {
  std::string table = answers(item_);
  photograph_covered("again.png");
  bench_.expect(1, {"check", "@/again.png", "--record"});
  bench_.expect(0, {"review", "--crops", "@/crops"});
  std::size_t more = 0;
  for (const std::string& file : bench_.files())
    if (file.starts_with("crops/") && file.ends_with(".jpg") && table.find(file.substr(6)) == std::string::npos)
      table += file.substr(6) + (more++ == 0 ? ",what?\n" : ",\n");
  ASSERT_GT(more, 0U);
  bench_.write("answers.csv", table);
  bench_.expect(3, {"review", "--answers", "@/answers.csv"});
  EXPECT_EQ(checks_kept(), 2U);
}

TEST_F(Review, at_a_terminal_the_person_is_asked_crop_by_crop_and_never_told_what_is_expected) {
  (void)answers(item_);
  bench_.answer("nonsense?\n" + item_ + "\n");
  const ToolRun run = bench_.expect(0, {"review", "--crops", "@/crops"});
  EXPECT_NE(run.out.find("reads: "), std::string::npos);
  EXPECT_NE(run.out.find("Key an artifact label's number"), std::string::npos);
  const std::string before_the_outcome = run.out.substr(0, run.out.find("is now agree"));
  EXPECT_EQ(before_the_outcome.find(item_), std::string::npos);
  EXPECT_EQ(newest_verdict(), "agree");
}

TEST_F(Review, stopping_keeps_the_set_for_later) {
  (void)answers(item_);
  bench_.answer("stop\n");
  const std::string said = bench_.expect(1, {"review", "--crops", "@/crops"}).out;
  EXPECT_NE(said.find("Nothing was reviewed; 1 set waits for review another time."), std::string::npos) << said;
  EXPECT_EQ(checks_kept(), 1U);
}

TEST_F(Review, to_override_to_agree_needs_a_second_person_and_changes_no_verdict_that_was_kept) {
  (void)answers(item_);
  const std::string bag = bag_of(item_);
  const std::vector<std::string> wish = {"override", bag, "--verdict", "agree", "--reason", "read by hand lens"};
  const auto with = [&wish](std::vector<std::string> more) {
    more.insert(more.begin(), wish.begin(), wish.end());
    return more;
  };
  EXPECT_NE(bench_.expect(2, with({})).err.find("needs a second person"), std::string::npos);
  EXPECT_NE(bench_.expect(2, with({"--second", "R. Quill"})).err.find("same as the first"), std::string::npos);
  bench_.expect(0, {"register", "r.quill"});
  EXPECT_NE(bench_.expect(2, with({"--second", "r.quill"})).err.find("same as the first"), std::string::npos);
  EXPECT_NE(bench_.expect(2, with({"--second", "A. Stranger"})).err.find("not in the register"), std::string::npos);
  EXPECT_NE(bench_.expect(2, {"override", bag, "--verdict", "stale"}).err.find("needs a reason"), std::string::npos);
  EXPECT_NE(bench_.expect(2, {"override", "nobody", "--verdict", "stale", "--reason", "x"}).err.find("no verdict"),
            std::string::npos);
  EXPECT_EQ(Json::parse(bench_.expect(0, {"override", "--json"}).out)["overrides"].size(), 0U);
  bench_.expect(0, {"register", "M. Oduya"});
  bench_.expect(0, with({"--second", "M. Oduya"}));
  const Json all = Json::parse(bench_.expect(0, {"override", "--json"}).out);
  ASSERT_EQ(all["overrides"].size(), 1U);
  EXPECT_EQ(all["overrides"][0]["verdict"], "agree");
  EXPECT_EQ(all["overrides"][0]["person"], "R. Quill");
  EXPECT_EQ(all["overrides"][0]["second_person"], "M. Oduya");
  EXPECT_EQ(newest_verdict(), "unreadable");
  bench_.expect(0, {"verify-ledger"});
}

TEST_F(Review, pictures_between_two_divider_cards_are_one_set) {
  confirm();
  const std::vector<GreyPicture> labels = whole_set(item_);
  const std::vector<GreyPicture> others = {cut(LabelRole::bag, bag_of(metal_))};
  photograph("key.png", {labels[0]});
  std::filesystem::create_directories(bench_.path("in"));
  photograph("in/1.png", {card("FIRST")});
  photograph("in/2.png", {labels[0]});
  photograph("in/3.png", {labels[1], labels[2]});
  photograph("in/4.png", {card("SECOND"), others[0]});
  const Json document = Json::parse(bench_.expect(1, {"check", "@/in", "--json"}).out);
  ASSERT_EQ(document["sets"].size(), 2U);
  EXPECT_EQ(document["sets"][0]["set"], "FIRST");
  EXPECT_EQ(document["sets"][0]["verdict"], "agree");
  EXPECT_EQ(document["sets"][1]["set"], "SECOND");
  EXPECT_EQ(document["sets"][1]["verdict"], "incomplete");
  // by count, as the camera has it, and not by letters: there the tenth comes first
  std::filesystem::create_directories(bench_.path("counted"));
  for (const auto& [from, to] : std::vector<std::pair<std::string, std::string>>{
           {"1", "IMG_8"}, {"2", "IMG_9"}, {"3", "IMG_10"}, {"4", "IMG_11"}})
    std::filesystem::copy_file(bench_.path("in/" + from + ".png"), bench_.path("counted/" + to + ".png"));
  const Json counted = Json::parse(bench_.expect(1, {"check", "@/counted", "--json"}).out);
  ASSERT_EQ(counted["sets"].size(), 2U);
  EXPECT_EQ(counted["sets"][0]["verdict"], "agree");
  // the folder is two sets, whatever was said
  const ToolRun as_one = bench_.expect(3, {"check", "--set", "@/in", "--json"});
  EXPECT_EQ(Json::parse(as_one.out)["sets"].size(), 0U);
  EXPECT_NE(as_one.err.find("in/4.png a divider card begins another set. Leave out --set"), std::string::npos)
      << as_one.err;
  // a picture that cannot be read may have been a card: its set gets no verdict
  bench_.write("in/3b.png", "no picture");
  EXPECT_EQ(Json::parse(bench_.expect(3, {"check", "@/in", "--json"}).out)["sets"].size(), 1U);
  photograph("in/5.png", {card("FIRST"), card("SECOND")});
  EXPECT_NE(bench_.expect(3, {"check", "@/in"}).err.find("Two divider cards"), std::string::npos);
}

TEST_F(Review, a_watched_folder_is_checked_picture_by_picture_until_nothing_comes) {
  confirm();
  std::filesystem::create_directories(bench_.path("in"));
  photograph("in/first.png", whole_set(item_));
  bench_.write("in/empty.png", "");
  bench_.write("in/notes.txt", "not looked at");
  bench_.write("in/.second.png.k7Qd", "a copying program's own");
  bench_.write("in/.third.png", "likewise");
  const ToolRun run = bench_.expect(0, {"check", "--watch", "@/in", "--until-idle", "1", "--record"});
  EXPECT_NE(run.out.find("first.png"), std::string::npos);
  EXPECT_EQ(run.out.find("empty.png"), std::string::npos);
  EXPECT_EQ(newest_verdict(), "agree");
  EXPECT_EQ(checks_kept(), 1U);
  bench_.expect(4, {"check", "--watch", "@/nowhere", "--until-idle", "1"});
  bench_.expect(2, {"check"});
  bench_.expect(2, {"check", "@/in", "--watch", "@/in"});
}

TEST_F(Review, print_grades_are_kept_with_the_verdict_and_told_of_the_label) {
  confirm();
  photograph("photo.png", whole_set(item_));
  const Json graded = Json::parse(bench_.expect(0, {"grade", "@/photo.png", "--json"}).out);
  ASSERT_EQ(graded["images"][0]["symbols"].size(), 2U);
  for (const Json& symbol : graded["images"][0]["symbols"]) {
    EXPECT_EQ(symbol["format"], "qr");
    EXPECT_GE(symbol["grade"], 3) << symbol;
  }
  bench_.expect(0, {"check", "@/photo.png", "--record"});
  const std::string serial = verdict_of(0, {"@/photo.png"})["readings"][0]["serial"];
  const std::string told = bench_.expect(0, {"history", serial}).out;
  EXPECT_NE(told.find("Print quality seen: "), std::string::npos) << told;
  bench_.expect(0, {"verify-ledger"});
}

}  // namespace
}  // namespace sherdmark::testing
