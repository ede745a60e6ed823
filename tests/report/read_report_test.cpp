#include "sherdmark/report/read_report.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "sherdmark/code/link_code.h"

namespace sherdmark {
namespace {

using Json = nlohmann::ordered_json;

std::vector<ReadResult> results() {
  LinkCode link;
  link.collection_key = "KV7Q";
  link.role = LabelRole::tag;
  link.subject = "B12";
  link.number = "12-3";
  link.serial = "7K2M9QXA";
  link.revision = 2;
  const Corners corners{PointF{0, 0}, PointF{9, 0}, PointF{9, 9}, PointF{0, 9}};
  ReadResult read = make_read_result(
      "IMG_1.jpg", 1,
      {{SymbolFormat::qr, write_link_code(link), corners}, {SymbolFormat::code_128, "40063\x1b", corners}});
  return {read, make_read_result("IMG_2.jpg", 1, {}), {"IMG_3.jpg", 1, {}, "IMG_3.jpg: the file ends too early."}};
}

TEST(ReadJson, ListsOursAndForeignAndSaysWhatCouldNotBeRead) {
  const Json document = Json::parse(read_json(results()));
  EXPECT_EQ(document["schema"], 1);
  const Json& images = document["images"];
  ASSERT_EQ(images.size(), 3U);
  EXPECT_EQ(images[0]["codes"][0]["format"], "qr");
  EXPECT_EQ(images[0]["codes"][0]["ours"], true);
  EXPECT_EQ(images[0]["codes"][0]["corners"], Json::parse("[[0.0,0.0],[9.0,0.0],[9.0,9.0],[0.0,9.0]]"));
  EXPECT_EQ(images[0]["codes"][1]["ours"], false);
  EXPECT_TRUE(images[0]["error"].is_null());
  EXPECT_TRUE(images[1]["codes"].empty());
  EXPECT_EQ(images[2]["error"], "IMG_3.jpg: the file ends too early.");
}

TEST(ReadText, SaysInWordsWhatACodeMeansWithoutAnyLedger) {
  const std::string text = read_report_text(results());
  EXPECT_NE(text.find("tag B12, number 12-3, print 7K2M9QXA, revision 2, collection KV7Q"), std::string::npos) << text;
  EXPECT_NE(text.find("code-128     foreign\n               40063\\u{001B}"), std::string::npos) << text;
  EXPECT_NE(text.find("IMG_2.jpg\n  no code\n"), std::string::npos) << text;
  EXPECT_NE(text.find("could not be read: IMG_3.jpg: the file ends too early."), std::string::npos) << text;
  EXPECT_NE(text.find("3 pages, 2 codes, 1 of them ours; 1 could not be read."), std::string::npos) << text;
}

}  // namespace
}  // namespace sherdmark
