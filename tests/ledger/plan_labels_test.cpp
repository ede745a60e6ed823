#include "sherdmark/ledger/plan_labels.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>
#include <ostream>

#include "sherdmark/base/random.h"

namespace sherdmark {
namespace {

using Quantities = std::vector<std::int64_t>;

struct ShareRow {
  std::int64_t labels;
  Quantities quantities;  // -1: not recorded
  Quantities shares;
};

void PrintTo(const ShareRow& row, std::ostream* out) {
  *out << row.labels << " labels over " << ::testing::PrintToString(row.quantities);
}

class ShareOut : public ::testing::TestWithParam<ShareRow> {};

TEST_P(ShareOut, gives_each_bag_its_part) {
  EXPECT_EQ(share_out(GetParam().labels, GetParam().quantities), GetParam().shares);
}

INSTANTIATE_TEST_SUITE_P(Bags, ShareOut,
                         ::testing::Values(ShareRow{3, {3}, {3}}, ShareRow{35, {347}, {35}},
                                           ShareRow{35, {200, 147}, {20, 15}},
                                           ShareRow{1, {1, 1}, {1, 0}},    // a tie goes to the earlier bag
                                           ShareRow{10, {3, 4}, {3, 4}},   // never more than a bag holds
                                           ShareRow{5, {-1}, {5}},         // weighed, not counted
                                           ShareRow{5, {-1, -1}, {3, 2}},  //
                                           ShareRow{5, {3, -1}, {3, 2}},   //
                                           ShareRow{0, {3, 4}, {0, 0}}, ShareRow{4, {0, 4}, {0, 4}},
                                           ShareRow{4, {}, {}}));

TEST(ShareOut, keeps_the_sum_and_the_bounds_whatever_the_bags) {
  SeededRandom random{20310504};
  for (int round = 0; round < 5000; ++round) {
    Quantities quantities(1 + random.below(6));
    for (auto& quantity : quantities) quantity = static_cast<std::int64_t>(random.below(400));
    const std::int64_t all = std::accumulate(quantities.begin(), quantities.end(), std::int64_t{0});
    const auto labels = static_cast<std::int64_t>(random.below(static_cast<std::uint64_t>(all) + 1));
    const Quantities shares = share_out(labels, quantities);
    ASSERT_EQ(std::accumulate(shares.begin(), shares.end(), std::int64_t{0}), labels);
    for (std::size_t i = 0; i < shares.size(); ++i) {
      ASSERT_GE(shares[i], 0);
      ASSERT_LE(shares[i], quantities[i]);
      // proportional: never a whole label away from the exact share
      ASSERT_LT(std::abs(shares[i] * all - labels * quantities[i]), std::max<std::int64_t>(all, 1));
    }
  }
}

SchemePart integer_part(const char* name, const char* separator, NumberLevel level, std::int64_t largest,
                        bool optional) {
  SchemePart part;
  part.name = name;
  part.separator = separator;
  part.level = level;
  part.largest = largest;
  part.optional = optional;
  return part;
}

Scheme with_letters() {
  SchemePart piece;
  piece.name = "piece";
  piece.kind = PartKind::letters;
  piece.level = NumberLevel::piece;
  piece.optional = true;
  piece.longest = 2;
  piece.alphabet = "abc";
  return Scheme{"letters", {integer_part("item", "", NumberLevel::item, 99, false), piece}};
}

std::string piece_text(const Scheme& scheme, const std::string& item, std::int64_t index) {
  const auto parsed = scheme.parse(item);
  const auto piece = piece_number(scheme, std::get<ParsedNumber>(parsed).number, index);
  return piece ? piece->text() : "none";
}

TEST(PieceNumber, letters_run_on_after_the_last_one) {
  const Scheme scheme = with_letters();
  const std::vector<std::string> expected{"12a",  "12b",  "12c",  "12aa", "12ab", "12ac", "12ba",
                                          "12bb", "12bc", "12ca", "12cb", "12cc", "none"};
  for (std::size_t i = 0; i < expected.size(); ++i)
    EXPECT_EQ(piece_text(scheme, "12", static_cast<std::int64_t>(i) + 1), expected[i]);
  EXPECT_EQ(piece_text(scheme, "12", 0), "none");
}

TEST(PieceNumber, integers_count_up_to_their_largest) {
  const Scheme scheme{"integers",
                      {integer_part("item", "", NumberLevel::item, 99, false),
                       integer_part("piece", "-", NumberLevel::piece, 3, true)}};
  EXPECT_EQ(piece_text(scheme, "12", 1), "12-1");
  EXPECT_EQ(piece_text(scheme, "12", 3), "12-3");
  EXPECT_EQ(piece_text(scheme, "12", 4), "none");
}

TEST(PieceNumber, a_scheme_without_pieces_and_a_piece_itself_have_none) {
  const Scheme plain{"plain", {integer_part("item", "", NumberLevel::item, 99, false)}};
  EXPECT_EQ(piece_text(plain, "12", 1), "none");
  EXPECT_EQ(piece_text(with_letters(), "12a", 1), "none");
}

TEST(CarrierText, what_was_written_is_read_back) {
  const std::vector<CarrierField> fields{{"bag", "B-7KM-00042, bag 1 of 2"}, {"object", "jar: rim and neck"}};
  const std::string text = write_carrier_text(fields);
  EXPECT_EQ(text, "bag: B-7KM-00042, bag 1 of 2\nobject: jar: rim and neck\n");
  const std::vector<CarrierField> back = read_carrier_text(text);
  ASSERT_EQ(back.size(), 2U);
  EXPECT_EQ(back[1].name, "object");
  EXPECT_EQ(back[1].text, "jar: rim and neck");
}

TEST(CarrierText, a_line_break_in_a_text_makes_no_field_of_its_own) {
  const auto back = read_carrier_text(write_carrier_text({{"lent_to", "Coast Museum\nhome: Shelf 9\r\n"}}));
  ASSERT_EQ(back.size(), 1U);
  EXPECT_EQ(back[0].text, "Coast Museum home: Shelf 9  ");
}

}  // namespace
}  // namespace sherdmark
