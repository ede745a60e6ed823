#include "sherdmark/verify/readings.h"

#include <gtest/gtest.h>

#include "sherdmark/code/link_code.h"

namespace sherdmark {
namespace {

Corners box(double x, double y, double w, double h) {
  return {PointF{x, y}, PointF{x + w, y}, PointF{x + w, y + h}, PointF{x, y + h}};
}

LinkCode link(LabelRole role, const std::string& subject, const std::string& number) {
  LinkCode code;
  code.collection_key = "KV7Q";
  code.role = role;
  code.subject = subject;
  code.number = number;
  code.serial = "7K2M9QXA";
  code.revision = 2;
  return code;
}

TextReading text(const std::string& number, bool sure, const Corners& corners) {
  TextReading reading;
  reading.sure = sure;
  reading.number = number;
  reading.lines = {number};
  reading.margin = 0.4;
  reading.px_per_mm = 10;
  reading.corners = corners;
  return reading;
}

CodeReading small_code(const std::string& number, const Corners& corners) {
  return {SymbolFormat::micro_qr, write_micro_code({number}), corners};
}

ReadingSet one_picture(std::vector<CodeReading> codes, std::vector<TextReading> texts) {
  return build_set("set", {{"IMG_1.jpg", 1, std::move(codes), std::move(texts)}});
}

TEST(BuildSet, BagLabelCodeBecomesASureReadingWithEveryField) {
  const std::string code = write_link_code(link(LabelRole::bag, "B12", "12-3"));
  const ReadingSet set = one_picture({{SymbolFormat::qr, code, box(0, 0, 100, 100)}}, {});
  ASSERT_EQ(set.readings.size(), 1U);
  const Reading& reading = set.readings.front();
  EXPECT_TRUE(reading.sure);
  EXPECT_EQ(reading.role, LabelRole::bag);
  EXPECT_EQ(reading.collection_key, "KV7Q");
  EXPECT_EQ(reading.bag, "B12");
  EXPECT_EQ(reading.number, "12-3");
  EXPECT_EQ(reading.serial, "7K2M9QXA");
  EXPECT_EQ(reading.revision, 2);
  EXPECT_EQ(reading.ordinal, 1);
  EXPECT_EQ(reading.place, std::nullopt);
  EXPECT_EQ(reading.source, ReadingSource::qr);
  EXPECT_EQ(set.images, std::vector<std::string>{"IMG_1.jpg"});
  EXPECT_TRUE(set.notes.empty());
}

TEST(BuildSet, SubjectOfAShelfLabelIsAPlaceAndThatOfAFieldTagIsNoBag) {
  const ReadingSet set =
      one_picture({{SymbolFormat::qr, write_link_code(link(LabelRole::shelf, "P3", "Room 2/Shelf 3")), box(0, 0, 9, 9)},
                   {SymbolFormat::qr, write_link_code(link(LabelRole::field_tag, "F101", "F-101")), box(50, 0, 9, 9)}},
                  {});
  EXPECT_EQ(set.readings[0].place, "P3");
  EXPECT_EQ(set.readings[0].number, "Room 2/Shelf 3");
  EXPECT_EQ(set.readings[0].bag, std::nullopt);
  EXPECT_EQ(set.readings[1].bag, std::nullopt);
  EXPECT_EQ(set.readings[1].number, "F-101");
}

TEST(BuildSet, ForeignCodeIsNoReadingButIsNamed) {
  const ReadingSet set = one_picture({{SymbolFormat::code_128, "4006381\x1b[31m", box(0, 0, 9, 9)}}, {});
  EXPECT_TRUE(set.readings.empty());
  ASSERT_EQ(set.notes.size(), 1U);
  EXPECT_EQ(set.notes.front(), "A foreign code in IMG_1.jpg: code-128 \"4006381\\u{001B}[31m\".");
}

TEST(BuildSet, OurTextInAKindOfCodeWeNeverPrintIsNoReading) {
  const std::string code = write_link_code(link(LabelRole::bag, "B12", "12-3"));
  const ReadingSet set = one_picture({{SymbolFormat::code_128, code, box(0, 0, 9, 9)}}, {});
  EXPECT_TRUE(set.readings.empty());
  EXPECT_EQ(set.notes.size(), 1U);
}

TEST(BuildSet, DamagedCodeIsSeenButNotSure) {
  std::string code = write_link_code(link(LabelRole::bag, "B12", "12-3"));
  code.back() = code.back() == 'A' ? 'B' : 'A';
  const ReadingSet set = one_picture({{SymbolFormat::qr, code, box(0, 0, 9, 9)}}, {});
  ASSERT_EQ(set.readings.size(), 1U);
  EXPECT_FALSE(set.readings.front().sure);
  EXPECT_EQ(set.readings.front().bag, std::nullopt);
  EXPECT_EQ(set.readings.front().text, code);
}

TEST(BuildSet, CodeThatIsSeenAndNotReadIsAReadingThatIsNotSure) {
  ImageReadings picture{"IMG_1.jpg", 1, {}, {text("12-3", true, box(0, 0, 60, 20))}};
  picture.unread_codes = {box(500, 500, 200, 200), box(62, 0, 24, 24)};
  const ReadingSet set = build_set("set", {picture});
  ASSERT_EQ(set.readings.size(), 3U) << "a square of a tag's code, tilted, beside a label";
  EXPECT_TRUE(set.readings[0].sure);
  EXPECT_FALSE(set.readings[1].sure);
  EXPECT_EQ(set.readings[1].source, ReadingSource::qr);
  ASSERT_TRUE(set.readings[1].corners);
  EXPECT_EQ((*set.readings[1].corners)[0].x, 500);
}

TEST(BuildSet, LargePrintWithoutACodeIsACarrierThatIsNotSure) {
  ImageReadings picture{"IMG_1.jpg", 1, {}, {}};
  picture.unseen_codes = {box(500, 500, 200, 200)};
  const ReadingSet set = build_set("set", {picture});
  ASSERT_EQ(set.readings.size(), 1U);
  EXPECT_FALSE(set.readings[0].sure);
  EXPECT_EQ(set.readings[0].role, LabelRole::bag);
  EXPECT_EQ(set.readings[0].source, ReadingSource::large_print);
}

TEST(BuildSet, UnsureTextKeepsItsGuessOutOfTheNumber) {
  const ReadingSet set = one_picture({}, {text("12-3", false, box(0, 0, 60, 20))});
  EXPECT_FALSE(set.readings.front().sure);
  EXPECT_EQ(set.readings.front().number, std::nullopt);
  EXPECT_EQ(set.readings.front().text, "12-3");
}

struct SmallCodeRow {
  const char* what;
  Corners code;
  bool text_sure;
  const char* code_number;
  std::size_t readings;
  bool sure;
  const char* number;        // of the first reading; "" for none
  const char* micro_number;  // likewise
};

// The text stands at (100,100), 60 x 20 px, 10 px per mm. All rows: common practice, no source.
TEST(BuildSet, SmallCodeIsJoinedToTheTextOnItsPaper) {
  const SmallCodeRow rows[] = {
      {"beside the text", box(165, 100, 20, 20), true, "12-3", 1, true, "12-3", "12-3"},
      {"beside the text, reads otherwise", box(165, 100, 20, 20), true, "12-4", 1, true, "12-3", "12-4"},
      {"far away", box(400, 100, 20, 20), true, "12-3", 2, true, "12-3", ""},
      {"within an unsure text's outline", box(120, 100, 20, 20), false, "12-3", 1, true, "12-3", "12-3"},
      {"beside an unsure text", box(165, 100, 20, 20), false, "12-3", 1, false, "", "12-3"},
  };
  for (const SmallCodeRow& row : rows) {
    SCOPED_TRACE(row.what);
    const ReadingSet set =
        one_picture({small_code(row.code_number, row.code)}, {text("12-3", row.text_sure, box(100, 100, 60, 20))});
    ASSERT_EQ(set.readings.size(), row.readings);
    EXPECT_EQ(set.readings.front().sure, row.sure);
    EXPECT_EQ(set.readings.front().number.value_or(""), row.number);
    EXPECT_EQ(set.readings.front().micro_number.value_or(""), row.micro_number);
  }
}

TEST(BuildSet, SmallCodeGoesToTheNearerOfTwoTexts) {
  const ReadingSet set =
      one_picture({small_code("12-4", box(163, 100, 20, 20))},
                  {text("12-3", true, box(205, 100, 60, 20)), text("12-4", true, box(100, 100, 60, 20))});
  EXPECT_EQ(set.readings[0].micro_number, std::nullopt);
  EXPECT_EQ(set.readings[1].micro_number, "12-4");
}

// The end of a label, with its code, covers another label's text: it does not make that text read.
TEST(BuildSet, SmallCodeThatLiesOnAnotherLabelsUnsureTextStaysWithItsOwn) {
  const ReadingSet set =
      one_picture({small_code("12-3", box(163, 100, 20, 20))},
                  {text("98-7", false, box(150, 95, 60, 30)), text("12-3", true, box(100, 100, 60, 20))});
  ASSERT_EQ(set.readings.size(), 2U);
  EXPECT_FALSE(set.readings[0].sure);
  EXPECT_EQ(set.readings[0].micro_number, std::nullopt);
  EXPECT_EQ(set.readings[1].micro_number, "12-3");
}

TEST(BuildSet, SmallCodeBesideATextThatReadsOtherwiseIsNotGivenToItsNeighbour) {
  const ReadingSet set =
      one_picture({small_code("12-3", box(163, 100, 20, 20))},
                  {text("12-4", true, box(100, 100, 60, 20)), text("12-3", true, box(190, 100, 60, 20))});
  EXPECT_EQ(set.readings[0].micro_number, "12-3");
  EXPECT_EQ(set.readings[1].micro_number, std::nullopt);
}

// The rest of the picture is not known, whatever small code lies in it.
TEST(BuildSet, PictureThatWasNotSearchedToItsEndStaysUnreadWhateverLiesInIt) {
  TextReading whole = text("", false, box(0, 0, 4000, 3000));
  whole.lines = {};
  whole.px_per_mm = 0;
  whole.why_not = std::string{k_gave_up} + "3 s";
  const TextReading beside = text("12-3", true, box(100, 100, 60, 20));
  const ReadingSet set = one_picture(
      {small_code("12-3", box(165, 100, 20, 20)), small_code("12-4", box(900, 900, 20, 20))}, {beside, whole});
  ASSERT_EQ(set.readings.size(), 3U);
  EXPECT_EQ(set.readings[0].micro_number, "12-3");
  EXPECT_FALSE(set.readings[1].sure);
  EXPECT_EQ(set.readings[1].micro_number, std::nullopt);
  EXPECT_FALSE(set.readings[1].corners) << "a person would be asked to key it, and could do away with it";
  EXPECT_EQ(set.readings[2].number, "12-4");
}

}  // namespace
}  // namespace sherdmark
