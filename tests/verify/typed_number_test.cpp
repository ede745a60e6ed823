// What a number typed from an artifact's label is taken for, in a session with a handheld scanner too.
#include "sherdmark/verify/typed_number.h"

#include <gtest/gtest.h>

#include "sherdmark/base/files.h"
#include "sherdmark/code/cards.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/verify/scan_session.h"
#include "support/test_support.h"
#include "verify/memory_collection.h"

namespace sherdmark {
namespace {

using testing::MemoryCollection;

HouseStandard sample(const std::string& name) {
  const std::string file = "standards/" + name;
  return parse_house_standard(read_text(real_file_system(), testing::sample(file)), file);
}

struct Row {
  std::string typed;
  TypedSense sense;
  std::string number;
};

void expect_all(const MemoryCollection& records, const HouseStandard& standard, const std::vector<Row>& rows) {
  for (const Row& row : rows) {
    const TypedNumber got = typed_number(records, standard, row.typed);
    EXPECT_EQ(got.sense, row.sense) << row.typed;
    EXPECT_EQ(got.number, row.number) << row.typed;
    EXPECT_EQ(typed_number_problem(got, row.typed).empty(), row.sense == TypedSense::number) << row.typed;
  }
}

TEST(TypedNumber, what_stands_in_the_records_so_comes_before_what_can_be_made_of_it) {
  MemoryCollection records;
  records.numbers["16ZQ5/1.3"] = {NumberMeaning::item, {"16ZQ5/1.3"}, {}, false, {}, {}};
  records.numbers["16ZQ5/1.03"] = {NumberMeaning::former_number, {"16ZQ5/4.2"}, {}, false, {}, {}};
  expect_all(records, sample("quillow_ferry.toml"),
             {{"16ZQ5/1.3", TypedSense::number, "16ZQ5/1.3"},
              {" 16ZQ5/1.03 ", TypedSense::number, "16ZQ5/1.03"},
              {"16ZQ5/1.003", TypedSense::number, "16ZQ5/1.3"},
              {"16ZQ5/2.07", TypedSense::number, "16ZQ5/2.7"},
              {"no number", TypedSense::none, ""},
              {"", TypedSense::none, ""}});
}

TEST(TypedNumber, a_check_character_is_verified_and_asked_for_where_it_could_be_part_of_the_number) {
  const HouseStandard standard = sample("ostervane.toml");
  ASSERT_TRUE(standard.artifact.check_character);
  MemoryCollection records;
  records.numbers["2031-114-38b"] = {NumberMeaning::piece, {"2031-114-38"}, {}, false, {}, {}};
  expect_all(records, standard,
             {{"2031-114-38=B", TypedSense::number, "2031-114-38"},
              {"2031-114-38 = b", TypedSense::number, "2031-114-38"},
              {"2031-114-38=C", TypedSense::wrong_check, "2031-114-38"},
              {"2031-114-38=", TypedSense::wrong_check, "2031-114-38"},
              {"2031-114-38b=B", TypedSense::wrong_check, "2031-114-38b"},
              {"2031-114-38B", TypedSense::needs_check, "2031-114-38B"},
              {"2031-114-38b", TypedSense::needs_check, "2031-114-38b"},
              {"2031-114-38 B", TypedSense::needs_check, "2031-114-38 B"},
              {"2031-114-38", TypedSense::number, "2031-114-38"},
              {"2031-114-38a", TypedSense::number, "2031-114-38a"}});
}

class TypedInSession : public ::testing::Test {
 protected:
  ScanFeedback hear(const std::string& line) { return session_.hear(line); }

  MemoryCollection records_;
  HouseStandard standard_ = sample("ostervane.toml");
  ScanSession session_{records_, standard_, [](const std::string&) { return std::nullopt; }, "test"};
};

TEST_F(TypedInSession, a_number_that_may_be_two_is_asked_back_and_joins_no_set) {
  EXPECT_EQ(hear("2031-114-38B").line, "WHICH NUMBER?");
  EXPECT_EQ(hear("2031-114-38=C").line, "WHICH NUMBER?");
  EXPECT_TRUE(session_.open_set().readings.empty());
  EXPECT_TRUE(hear("2031-114-38=B").accepted);
  EXPECT_EQ(session_.open_set().readings.front().number, "2031-114-38");
}

TEST_F(TypedInSession, what_was_heard_stays_with_the_reading) {
  LinkCode link;
  link.collection_key = "ZZZZ";
  link.subject = "00042";
  link.number = "2031-114";
  link.serial = "1A2B3C4D";
  const std::string scanned = write_link_code(link), typed = "2031-114-38=B";
  (void)hear(scanned);
  (void)hear(typed);
  ASSERT_EQ(session_.open_set().readings.size(), 2U);
  EXPECT_EQ(session_.open_set().readings[0].text, scanned);
  EXPECT_EQ(session_.open_set().readings[1].text, typed);
}

TEST_F(TypedInSession, a_code_that_contradicts_the_label_that_was_typed_is_not_taken_for_it) {
  records_.bags["B7KM00007"].id = "B7KM00007";
  records_.prints["7KM00042"] = {"7KM00042", LabelRole::tag, "B7KM00007", "2031-114-69", 1, 1, PrintState::printed, {}};
  const auto scanned = [](const std::string& number, int revision, bool opaque) {
    return write_link_code({"KV7Q", LabelRole::tag, "B7KM00007", number, opaque, 1, "7KM00042", revision});
  };
  EXPECT_TRUE(hear("7KM00042 B7KM00007").accepted);
  EXPECT_FALSE(hear("B7KM00007 7KM00042").accepted) << "the same again";
  EXPECT_FALSE(hear(scanned("2031-114-69", 1, false)).accepted) << "its own code";
  EXPECT_FALSE(hear(scanned("K3Y", 1, true)).accepted) << "the code of a sensitive bag, with a key for the number";
  EXPECT_TRUE(hear(scanned("2031-114-70", 1, false)).accepted) << "another number under that serial";
  ASSERT_EQ(session_.open_set().readings.size(), 2U);
  EXPECT_EQ(judge(session_.open_set(), records_, standard_).verdict, Verdict::disagree);
}

TEST_F(TypedInSession, another_collections_card_does_nothing_and_says_so) {
  const ScanFeedback heard = hear(write_action_card("ZZZZ", ScanAction::next));
  EXPECT_EQ(heard.line, "NOT OURS");
  EXPECT_FALSE(heard.accepted);
  EXPECT_TRUE(session_.open_set().readings.empty());
}

}  // namespace
}  // namespace sherdmark
