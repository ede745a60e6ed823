#include "sherdmark/report/check_report.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "sherdmark/base/text.h"
#include "sherdmark/verify/reasons.h"

namespace sherdmark {
namespace {

using Json = nlohmann::ordered_json;

Reading tag_reading() {
  Reading reading;
  reading.role = LabelRole::tag;
  reading.sure = true;
  reading.number = "12-3";
  reading.bag = "B2";
  reading.serial = "7K2M9QXA";
  reading.revision = 1;
  reading.source = ReadingSource::qr;
  reading.image = "IMG_1.jpg";
  reading.corners = Corners{PointF{1, 2}, PointF{3.5, 2}, PointF{3.5, 4}, PointF{1, 4}};
  reading.text = "1KV7Q";
  return reading;
}

std::vector<SetVerdict> two_sets() {
  SetVerdict agrees;
  agrees.set = "IMG_0.jpg";
  agrees.bag = "B7";
  agrees.number = "12-30";
  agrees.verdict = Verdict::agree;
  agrees.evidence = Evidence::bag_tag_and_artifacts;
  agrees.expected = 5;
  agrees.seen = 5;
  agrees.unlabelled = 344;
  agrees.place_checked = true;
  agrees.reasons = {make_reason(ReasonCode::complete)};
  agrees.images = {"IMG_0.jpg"};
  SetVerdict wrong;
  wrong.set = "IMG_1.jpg";
  wrong.bag = "B1";
  wrong.verdict = Verdict::disagree;
  wrong.evidence = Evidence::seen_outside;
  wrong.expected = 3;
  wrong.seen = 2;
  wrong.reasons = {make_reason(ReasonCode::wrong_tag, {{"other", "B2"}, {"bag", "B1"}}),
                   make_reason(ReasonCode::missing_tag)};
  wrong.readings = {tag_reading()};
  wrong.images = {"IMG_1.jpg"};
  wrong.notes = {"A foreign code in IMG_1.jpg: ean \"4006381333931\"."};
  return {agrees, wrong};
}

std::vector<std::string> keys_of(const Json& object) {
  std::vector<std::string> keys;
  for (const auto& [key, value] : object.items()) keys.push_back(key);
  return keys;
}

// The key names are the project's own contract; new ones may follow, these may never go.
TEST(CheckJson, HasEveryKeyOfTheContract) {
  const Json document = Json::parse(check_json(two_sets()));
  EXPECT_EQ(document["schema"], 1);
  const std::vector<std::string> set_keys{"bag",        "number",        "verdict", "evidence", "expected", "seen",
                                          "unlabelled", "place_checked", "reasons", "readings", "images"};
  const std::vector<std::string> reading_keys{"role",   "number", "bag",  "serial",  "revision", "source",
                                              "margin", "image",  "page", "corners", "text"};
  const auto begins_with = [](std::vector<std::string> keys, const std::vector<std::string>& first) {
    keys.resize(first.size());
    return keys == first;
  };
  for (const Json& set : document["sets"]) EXPECT_TRUE(begins_with(keys_of(set), set_keys)) << set;
  EXPECT_TRUE(begins_with(keys_of(document["sets"][1]["readings"][0]), reading_keys));
  EXPECT_EQ(keys_of(document["summary"]), (std::vector<std::string>{"agree", "misplaced", "incomplete", "stale",
                                                                    "unreadable", "unknown", "disagree"}));
}

TEST(CheckJson, SaysAbsentThingsAsNull) {
  const Json set = Json::parse(check_json(two_sets()))["sets"][1];
  EXPECT_EQ(set["bag"], "B1");
  EXPECT_TRUE(set["number"].is_null());
  EXPECT_TRUE(set["unlabelled"].is_null());
  EXPECT_EQ(set["evidence"], "seen outside");
  EXPECT_EQ(set["reasons"][0]["code"], "wrong-tag");
  const Json& reading = set["readings"][0];
  EXPECT_TRUE(reading["margin"].is_null());
  EXPECT_EQ(reading["corners"], Json::parse("[[1.0,2.0],[3.5,2.0],[3.5,4.0],[1.0,4.0]]"));
  EXPECT_EQ(reading["source"], "qr");
}

TEST(CheckJson, CountsEveryVerdict) {
  const Json summary = Json::parse(check_json(two_sets()))["summary"];
  EXPECT_EQ(summary["agree"], 1);
  EXPECT_EQ(summary["disagree"], 1);
  EXPECT_EQ(summary["stale"], 0);
}

TEST(CheckJson, HostileBytesInAReadingStillMakeValidJson) {
  auto sets = two_sets();
  sets[1].readings[0].text = std::string{"\xff\xfe\x00\x1b", 4};
  EXPECT_TRUE(Json::accept(check_json(sets)));
}

TEST(CheckText, TableThenWhatIsWrongAndWhatToDo) {
  EXPECT_EQ(check_text(two_sets()),
            "VERDICT   BAG  NUMBER  LABELS SEEN  UNLABELLED  EVIDENCE                PLACE CHECKED  SET\n"
            "agree     B7   12-30   5 of 5       344         bag, tag and artifacts  yes            IMG_0.jpg\n"
            "disagree  B1   -       2 of 3       -           seen outside            no             IMG_1.jpg\n"
            "\n"
            "IMG_1.jpg (bag B1): DISAGREE\n"
            "  - The tag belongs to bag B2, but the bag label is of bag B1.\n"
            "      What to do: Find the right tag; the bag that this one belongs to may hold it.\n"
            "  - No readable tag of this bag was seen.\n"
            "      What to do: Look for the tag within the bag; print a new one if it is lost.\n"
            "  - Note: A foreign code in IMG_1.jpg: ean \"4006381333931\".\n"
            "  Not tested: that each object is the object its label names. How many pieces carry no label is not "
            "recorded.\n"
            "\n"
            "2 sets: 1 agree, 1 disagree.\n"
            "Not tested in any set: that each object is the object its label names.\n");
}

TEST(CheckText, NeverSendsControlCharactersToTheTerminal) {
  auto sets = two_sets();
  sets[1].set = "IMG\x1b[2J\n.jpg";
  sets[1].number = "12\r3";
  const std::string text = check_text(sets);
  EXPECT_EQ(text.find('\x1b'), std::string::npos);
  EXPECT_EQ(text.find('\r'), std::string::npos);
  EXPECT_NE(text.find("IMG\\u{001B}[2J\\u{000A}.jpg"), std::string::npos);
}

TEST(CheckText, NoSetIsNoAgreement) {
  EXPECT_EQ(check_text({}), "No set was judged.\n");
  EXPECT_FALSE(all_agree({}));
  EXPECT_FALSE(all_agree(two_sets()));
  const auto sets = two_sets();
  EXPECT_TRUE(all_agree(std::span{sets}.first(1)));
}

TEST(CheckCsv, OneLineASet) {
  const std::string csv = check_csv(two_sets());
  const auto lines = split(csv, '\n');
  ASSERT_GE(lines.size(), 3U);
  EXPECT_TRUE(lines[0].starts_with("\xEF\xBB\xBFset,bag,number,verdict"));
  EXPECT_NE(lines[2].find("wrong-tag missing-tag"), std::string::npos);
}

}  // namespace
}  // namespace sherdmark
