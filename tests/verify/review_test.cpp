// What a person keys for a label that was seen and not read; which pictures are one set; which grades are kept.
#include "sherdmark/verify/review.h"

#include <gtest/gtest.h>

#include "sherdmark/base/error.h"
#include "sherdmark/base/files.h"
#include "sherdmark/code/cards.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/verify/picture_groups.h"
#include "support/test_support.h"
#include "verify/memory_collection.h"

namespace sherdmark {
namespace {

using testing::MemoryCollection;

const HouseStandard& a_standard() {
  static const HouseStandard k_standard = [] {
    const std::string file = "standards/ostervane.toml";
    return parse_house_standard(read_text(real_file_system(), testing::sample(file)), file);
  }();
  return k_standard;
}

MemoryCollection a_collection() {
  MemoryCollection records;
  PrintRecord print;
  print.serial = "7KM00042";
  print.role = LabelRole::tag;
  print.subject = "B7KM00007";
  print.number = "2031-114-69";
  print.revision = 3;
  records.prints[print.serial] = print;
  return records;
}

Reading seen(bool sure = false) {
  Reading reading;
  reading.sure = sure;
  reading.image = "photo.jpg";
  reading.page = 2;
  reading.number = "2031-114-66";  // what the machine believed; a person must not be led by it
  reading.corners = Corners{PointF{1, 1}, {9, 1}, {9, 4}, {1, 4}};
  return reading;
}

Reading seen_code() {
  Reading reading = seen();
  reading.role = LabelRole::bag;
  reading.source = ReadingSource::qr;
  reading.text = "SM1 and then damaged";
  return reading;
}

struct Row {
  std::string keyed;
  KeyedSense of_text;  // of an artifact label's crop
  KeyedSense of_code;  // of a bag label's or tag's
};

TEST(Keyed, a_crop_takes_only_what_stands_on_its_kind_of_label) {
  using enum KeyedSense;
  const MemoryCollection records = a_collection();
  const std::vector<Row> rows = {
      // an artifact's number
      {"2031-114-69a", understood, not_understood},
      {"  2031-114-69a ", understood, not_understood},
      // serial and bag id, in either order, as people write them
      {"7KM00042 B7KM00007", not_understood, understood},
      {"B-7KM-00007 7KM00042", not_understood, understood},
      {" 7km0-oo42,  b7km ooo07 ", not_understood, understood},
      // half of it, or of two labels: serials run on, and a slip of the finger is the neighbour's
      {"7KM00042", not_understood, not_understood},
      {"B7KM00007", not_understood, not_understood},
      {"7KM00043 B7KM00007", not_understood, not_understood},
      {"7KM00042 B7KM00008", not_understood, not_understood},
      {"7KM00042 2031-114-69", not_understood, not_understood},
      {"7KM0004", not_understood, not_understood},
      {"no idea", not_understood, not_understood},
      // nothing legible; no label at all, which a code of ours always is
      {"", cannot_read, cannot_read},
      {" - ", no_label, not_understood},
  };
  for (const Row& row : rows)
    for (const bool code : {false, true}) {
      const Keyed keyed = understand_keyed(code ? seen_code() : seen(), row.keyed, records, a_standard());
      ASSERT_EQ(keyed.sense, code ? row.of_code : row.of_text) << row.keyed << (code ? " for a code" : " for a text");
      EXPECT_EQ(keyed.remedy.empty(), keyed.sense != not_understood);
      EXPECT_EQ(keyed.remedy.find("2031-114"), std::string::npos) << "a person must not be told what is expected";
      EXPECT_EQ(keyed.remedy.find("7KM"), std::string::npos) << keyed.remedy;
      if (keyed.sense != understood) continue;
      const Reading& reading = *keyed.reading;
      EXPECT_TRUE(reading.sure);
      EXPECT_EQ(reading.source, ReadingSource::keyed);
      EXPECT_EQ(reading.role, code ? LabelRole::tag : LabelRole::artifact) << row.keyed;
      EXPECT_EQ(reading.number.value_or(""), code ? "2031-114-69" : "2031-114-69a") << row.keyed;
      EXPECT_EQ(reading.bag.value_or(""), code ? "B7KM00007" : "") << row.keyed;
      EXPECT_EQ(reading.page, 2);
      EXPECT_TRUE(reading.corners);
    }
}

TEST(Keyed, a_code_of_which_nothing_was_read_may_be_anybodys) {
  Reading unread = seen_code();
  unread.text.reset();
  const MemoryCollection records = a_collection();
  EXPECT_EQ(understand_keyed(unread, "-", records, a_standard()).sense, KeyedSense::no_label);
  EXPECT_EQ(understand_keyed(unread, "2031-114-69a", records, a_standard()).sense, KeyedSense::not_understood);
}

TEST(Keyed, the_large_print_of_a_bag_label_or_tag_is_never_no_label) {
  Reading head = seen_code();
  head.text.reset();
  head.source = ReadingSource::large_print;
  const MemoryCollection records = a_collection();
  const Keyed left_out = understand_keyed(head, "-", records, a_standard());
  EXPECT_EQ(left_out.sense, KeyedSense::not_understood);
  EXPECT_NE(left_out.remedy.find("again"), std::string::npos) << "what to do instead";
  EXPECT_EQ(understand_keyed(head, "7KM00042 B7KM00007", records, a_standard()).sense, KeyedSense::understood);
  EXPECT_EQ(understand_keyed(head, "", records, a_standard()).sense, KeyedSense::cannot_read);
  ReadingSet set;
  set.readings = readings_after_keying({head}, {{0, understand_keyed(head, "", records, a_standard())}});
  EXPECT_EQ(judge(set, records, a_standard()).verdict, Verdict::unreadable);
}

TEST(Keyed, a_small_code_stays_beside_the_number_and_makes_its_crop_a_label) {
  Reading crop = seen();
  crop.micro_number = "2031-114-70";
  const MemoryCollection records = a_collection();
  const Keyed keyed = understand_keyed(crop, "2031-114-69a", records, a_standard());
  ASSERT_EQ(keyed.sense, KeyedSense::understood);
  EXPECT_EQ(keyed.reading->number, "2031-114-69a");
  EXPECT_EQ(keyed.reading->micro_number, "2031-114-70");
  ReadingSet set;
  set.readings = {*keyed.reading};
  const SetVerdict verdict = judge(set, records, a_standard());
  EXPECT_EQ(verdict.verdict, Verdict::unreadable);
  EXPECT_EQ(verdict.reasons.front().code, "micro-code-conflict");
  EXPECT_EQ(understand_keyed(crop, "-", records, a_standard()).sense, KeyedSense::not_understood);
}

TEST(Keyed, only_what_was_not_read_surely_is_asked_for) {
  std::vector<Reading> readings = {seen(true), seen(false), seen(true), seen(false)};
  readings[3].corners.reset();  // nothing to show
  readings[2].margin = 0.1;
  HouseStandard strict = a_standard();
  strict.read_margin = 0;
  EXPECT_EQ(readings_to_key(readings, strict), (std::vector<std::size_t>{1}));
  strict.read_margin = 0.3;
  EXPECT_EQ(readings_to_key(readings, strict), (std::vector<std::size_t>{1, 2}));
}

// One block of print: from its foot, and from its head.
std::vector<Reading> both_ways_up() {
  std::vector<Reading> readings = {seen(), seen()};
  readings[1].corners = Corners{PointF{9, 4.2}, {1, 4.2}, {1, 1.2}, {9, 1.2}};
  return readings;
}

TEST(Keyed, a_label_that_was_seen_both_ways_up_is_asked_for_once_and_the_answer_stands_for_both) {
  const MemoryCollection records = a_collection();
  std::vector<Reading> readings = both_ways_up();
  EXPECT_EQ(readings_to_key(readings, a_standard()), (std::vector<std::size_t>{0}));
  readings[1].margin = 0.1;
  EXPECT_EQ(readings_to_key(readings, a_standard()), (std::vector<std::size_t>{1})) << "as it was read better";
  const auto after = [&](const std::string& keyed) {
    return readings_after_keying(readings, {{1, understand_keyed(readings[1], keyed, records, a_standard())}});
  };
  ASSERT_EQ(after("2031-114-69").size(), 1U);
  EXPECT_EQ(after("2031-114-69")[0].number, "2031-114-69");
  EXPECT_TRUE(after("-").empty());
  ASSERT_EQ(after("").size(), 2U);
  EXPECT_FALSE(after("")[0].sure);
}

TEST(Keyed, what_may_be_two_labels_is_asked_for_twice) {
  struct Case {
    const char* what;
    void (*change)(std::vector<Reading>&);
  };
  const Case cases[] = {
      {"on the two sides of one rule",
       [](std::vector<Reading>& r) {
         r[1].corners = Corners{PointF{9, 6.8}, {1, 6.8}, {1, 3.8}, {9, 3.8}};
       }},
      {"the same way up", [](std::vector<Reading>& r) { r[1].corners = r[0].corners; }},
      {"one far smaller",
       [](std::vector<Reading>& r) {
         r[1].corners = Corners{PointF{6, 3}, {4, 3}, {4, 2}, {6, 2}};
       }},
      {"in two pictures", [](std::vector<Reading>& r) { r[1].image = "other.jpg"; }},
      {"on two pages", [](std::vector<Reading>& r) { r[1].page = 3; }},
      {"with a small code", [](std::vector<Reading>& r) { r[1].micro_number = "2031-114-69"; }},
  };
  for (const Case& one : cases) {
    std::vector<Reading> readings = both_ways_up();
    one.change(readings);
    EXPECT_EQ(readings_to_key(readings, a_standard()), (std::vector<std::size_t>{0, 1})) << one.what;
    const Keyed keyed = understand_keyed(readings[0], "2031-114-69", a_collection(), a_standard());
    const std::vector<Reading> after = readings_after_keying(readings, {{0, keyed}});
    ASSERT_EQ(after.size(), 2U) << one.what;
    EXPECT_FALSE(after[1].sure) << one.what;
  }
}

ImageReadings page_with(const std::string& image, int page, const std::vector<std::string>& codes) {
  ImageReadings readings;
  readings.image = image;
  readings.page = page;
  for (const std::string& text : codes) readings.codes.push_back({SymbolFormat::qr, text, {}});
  return readings;
}

PictureFile file_with(const std::string& image, const std::vector<std::string>& codes) {
  return {image, {page_with(image, 1, codes)}, true};
}

std::string told(std::vector<PictureFile> files) {
  std::string text;
  for (const PictureGroup& group : group_pictures(std::move(files))) {
    text += group.name + (group.whole ? ":" : "!:");
    for (const ImageReadings& page : group.pages) text += " " + page.image + "/" + std::to_string(page.page);
    text += "\n";
  }
  return text;
}

TEST(PictureGroups, each_page_is_a_set_until_a_card_comes_and_then_all_up_to_the_next) {
  const std::string first = write_divider("KV7Q", "FIRST");
  const std::string nameless = write_divider("KV7Q", "SECOND");
  PictureFile scan{"scan.pdf", {page_with("scan.pdf", 1, {}), page_with("scan.pdf", 2, {})}, true};
  EXPECT_EQ(told({file_with("a", {}), scan}), "a: a/1\nscan.pdf, page 1: scan.pdf/1\nscan.pdf, page 2: scan.pdf/2\n");
  EXPECT_EQ(told({file_with("a", {}), file_with("b", {first}), file_with("c", {}), scan, file_with("d", {nameless})}),
            "a: a/1\nFIRST: c/1 scan.pdf/1 scan.pdf/2\nSECOND:\n");
  EXPECT_EQ(told({file_with("b", {first, write_micro_code({"2031-114-69a"})}), file_with("c", {"foreign"})}),
            "FIRST: b/1 c/1\n");
}

TEST(PictureGroups, a_card_beside_which_a_label_is_seen_and_not_read_is_not_alone) {
  const std::string first = write_divider("KV7Q", "FIRST");
  const Corners somewhere{PointF{10, 10}, PointF{60, 10}, PointF{60, 60}, PointF{10, 60}};
  PictureFile unread = file_with("b", {first}), unseen = file_with("c", {first});
  unread.pages.front().unread_codes = {somewhere};
  unseen.pages.front().unseen_codes = {somewhere};
  EXPECT_EQ(told({unread, file_with("d", {})}), "FIRST: b/1 d/1\n");
  EXPECT_EQ(told({unseen, file_with("d", {})}), "FIRST: c/1 d/1\n");
}

TEST(PictureGroups, what_could_not_be_read_may_have_been_a_card) {
  const std::string first = write_divider("KV7Q", "FIRST");
  const PictureFile bad{"bad", {}, false};
  EXPECT_EQ(told({file_with("a", {}), bad, file_with("b", {})}), "a: a/1\nb: b/1\n");
  EXPECT_EQ(told({file_with("a", {first}), file_with("b", {}), bad, file_with("c", {})}), "FIRST!: b/1 c/1\n");
}

TEST(PictureGroups, a_card_within_pictures_that_were_said_to_be_one_set_is_named) {
  const std::string one = write_divider("K7QD", "1"), two = write_divider("K7QD", "2");
  const std::string bag =
      write_link_code({"K7QD", LabelRole::bag, "BABC00001", "2031-114-12", false, 1, "ABC00007", 1});
  const auto at = [](const std::vector<std::vector<std::string>>& pages) {
    std::vector<ImageReadings> read;
    for (const auto& codes : pages) read.push_back(page_with(std::to_string(read.size() + 1), 1, codes));
    return divided_at(read).value_or("nowhere");
  };
  EXPECT_EQ(at({{one}, {bag}, {bag}}), "nowhere");
  EXPECT_EQ(at({{bag, one}, {bag}}), "nowhere");
  EXPECT_EQ(at({{one}, {bag}, {one}}), "nowhere") << "the same card, photographed again";
  EXPECT_EQ(at({{bag}, {bag}}), "nowhere");
  EXPECT_EQ(at({{one}, {bag}, {two}, {bag}}), "3");
  EXPECT_EQ(at({{bag}, {one}, {bag}}), "2");
  EXPECT_EQ(at({{}, {one}, {bag}}), "2") << "what could not be made out may be a bag's";
}

TEST(PictureGroups, two_cards_in_one_picture_are_refused) {
  const std::string first = write_divider("KV7Q", "FIRST");
  EXPECT_EQ(told({file_with("a", {first, first}), file_with("b", {})}), "FIRST: b/1\n");
  try {
    (void)told({file_with("a", {first, write_divider("KV7Q", "SECOND")})});
    ADD_FAILURE() << "two cards were taken";
  } catch (const Error& error) {
    EXPECT_EQ(error.family(), ErrorFamily::data);
    EXPECT_EQ(error.place().file, "a");
  }
}

TEST(PictureGroups, the_best_grade_of_each_of_our_labels_is_kept) {
  LinkCode link;
  link.collection_key = "KV7Q";
  link.subject = "B7KM00007";
  link.serial = "7KM00042";
  const auto graded = [&link](int grade, double module_px) {
    PrintGrade one;
    one.text = write_link_code(link);
    one.grade = grade;
    one.module_px = module_px;
    return one;
  };
  ImageReadings page = page_with("a", 1, {});
  page.grades = {graded(2, 6), graded(3, 5), graded(4, 2)};
  PrintGrade foreign = graded(4, 8);
  foreign.text = "somebody else's";
  page.grades.push_back(foreign);
  EXPECT_EQ(grades_of_labels({page}), (std::vector<std::pair<std::string, int>>{{"7KM00042", 3}}));
}

}  // namespace
}  // namespace sherdmark
