#include "sherdmark/ledger/identity.h"

#include <gtest/gtest.h>

#include <set>

#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

// The alphabet is Crockford's base 32 (no I, L, O, U); the worked values are counted by hand.
TEST(Identity, serials_are_eight_characters_of_station_and_counter) {
  const struct {
    std::int64_t counter;
    const char* serial;
  } rows[] = {{1, "7KM00001"},  {31, "7KM0000Z"},   {32, "7KM00010"},
              {66, "7KM00022"}, {1024, "7KM00100"}, {k_identity_capacity - 1, "7KMZZZZZ"}};
  for (const auto& row : rows) EXPECT_EQ(make_serial("7KM", row.counter), row.serial);
  EXPECT_EQ(make_identity(IdentityKind::bag, "7KM", 66), "B7KM00022");
}

TEST(Identity, a_station_that_used_up_its_numbers_says_what_to_do) {
  try {
    (void)make_serial("7KM", k_identity_capacity);
    FAIL() << "no error";
  } catch (const Error& error) {
    EXPECT_EQ(error.family(), ErrorFamily::environment);
    EXPECT_NE(std::string{error.what()}.find("registers as a new station"), std::string::npos) << error.what();
  }
}

TEST(Identity, neighbouring_counters_and_stations_never_share_a_serial) {
  std::set<std::string> seen;
  for (const char* station : {"7KM", "7KN", "07K"})
    for (std::int64_t counter = 1; counter <= 5000; ++counter)
      EXPECT_TRUE(seen.insert(make_serial(station, counter)).second);
}

TEST(Identity, keyed_ids_are_understood_however_they_are_keyed) {
  const struct {
    const char* keyed;
    const char* id;  // nullptr: not a bag id
  } rows[] = {{"B7KM00022", "B7KM00022"},
              {"b-7km-00022", "B7KM00022"},
              {" B 7KM 00022 ", "B7KM00022"},
              {"B7KMOOO22", "B7KM00022"},
              {"B7KM000Z1", "B7KM000Z1"},
              {"B7KM000ZI", "B7KM000Z1"},
              {"B7KM000Zl", "B7KM000Z1"},
              {"X7KM00022", nullptr},
              {"B7KM0022", nullptr},
              {"B7KM00U22", nullptr},
              {"", nullptr},
              {"B7KM000222", nullptr}};
  for (const auto& row : rows) {
    const auto id = parse_identity(IdentityKind::bag, row.keyed);
    EXPECT_EQ(id.has_value(), row.id != nullptr) << row.keyed;
    if (id && row.id != nullptr) {
      EXPECT_EQ(*id, row.id);
    }
  }
  EXPECT_EQ(group_identity("B7KM00022"), "B-7KM-00022");
}

TEST(Identity, keys_and_station_codes_use_the_whole_alphabet_and_nothing_else) {
  SeededRandom random{1};
  std::set<char> seen;
  for (int i = 0; i < 400; ++i) {
    const std::string key = make_collection_key(random);
    EXPECT_EQ(key.size(), 4U);
    EXPECT_EQ(make_station_code(random).size(), 3U);
    seen.insert(key.begin(), key.end());
  }
  EXPECT_EQ(seen, std::set<char>(k_identity_alphabet.begin(), k_identity_alphabet.end()));
}

}  // namespace
}  // namespace sherdmark
