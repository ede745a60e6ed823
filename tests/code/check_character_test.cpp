// ISO/IEC 7064 against published vectors. Sources: S1 arthurdejong/python-stdnum, S2 KnowledgeForwardSolutions/
// CheckDigits.Net, "Red Book" transfusionguidelines.org Annex 2; what each system detects was enumerated by two
// independent scripts. Values marked "from memory" were not confirmed on a page but recomputed with the same result.
#include "sherdmark/code/check_character.h"

#include <gtest/gtest.h>

#include <functional>
#include <string>
#include <vector>

namespace sherdmark {
namespace {

constexpr std::string_view k_alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

struct Vector {
  std::string data;
  std::string check;
};

const std::vector<Vector> k_37_36 = {
    {"A12425GABC1234002", "M"},                     // GRid (S1, S2)
    {"DADPIDA3897722461", "J"},                     // lobster-world.com, MOD 37,36 page
    {"123AB", "X"},                                 // the same page
    {"00000000C36D002B", "K"},                      // ISAN (S1, S2)
    {"00000000C36D002B00000000", "E"},              // ISAN
    {"000000018947000000000000", "D"},              // ISAN
    {"AEIOU", "U"},                                 // S2
    {"QWERTYDVORAK", "1"},                          // S2
    {"A1B2C3D4E5F6G7H8I9J0K", "I"},                 // S2
    {"1234567890ABCDEFGHIJKLMNOPQRSTUVWXYZ", "T"},  // S2
    {"16WC5", "T"},                                 // site numbers, computed by two scripts only
    {"41BL323", "E"},
    {"0", "2"},
    {"1", "Z"},
    {"2", "X"},
    {"3", "V"},
    {"9", "J"},
    {"A", "H"},
    {"J", "0"},
    {"K", "Y"},
    {"Z", "4"},
};

const std::vector<Vector> k_37_2 = {
    {"G123498654321", "H"},                          // Red Book Annex 2, weighted sum 148354
    {"G123489654321", "Y"},                          // S1
    {"A999914123456", "N"}, {"C000307001466", "6"},  // ISBT examples in S2
    {"A999922123459", "H"}, {"A999922654321", "S"}, {"A999922123458", "J"}, {"A999922012346", "*"},
    {"A999522123456", "*"}, {"ZZZZ", "O"},          {"16WC5", "3"},  // computed by two scripts only
};

const std::vector<Vector> k_1271_36 = {
    {"ISO79", "3W"}, {"XS868977863229", "AU"},  // from memory, recomputed
};

TEST(CheckCharacter, mod_37_36_gives_the_published_characters) {
  for (const Vector& row : k_37_36) {
    EXPECT_EQ(mod_37_36_check(row.data), row.check[0]) << row.data;
    EXPECT_TRUE(mod_37_36_valid(row.data + row.check)) << row.data;
  }
}

TEST(CheckCharacter, mod_37_2_gives_the_published_characters) {
  for (const Vector& row : k_37_2) {
    EXPECT_EQ(mod_37_2_check(row.data), row.check[0]) << row.data;
    EXPECT_TRUE(mod_37_2_valid(row.data + row.check)) << row.data;
  }
}

TEST(CheckCharacter, mod_1271_36_gives_the_published_characters) {
  for (const Vector& row : k_1271_36) {
    EXPECT_EQ(mod_1271_36_check(row.data), row.check) << row.data;
    EXPECT_TRUE(mod_1271_36_valid(row.data + row.check)) << row.data;
  }
}

TEST(CheckCharacter, what_is_published_as_wrong_is_refused) {
  EXPECT_FALSE(mod_37_36_valid("A12425GABC1234002Q"));     // S1
  EXPECT_FALSE(mod_37_36_valid("A1-2425G-ABC1234002-M"));  // hyphens are not of the alphabet
  EXPECT_FALSE(mod_37_2_valid("G123489654321H"));          // the swap of the Red Book's example
}

// Pairs that MOD 37,36 cannot tell apart: both are valid (enumerated by two scripts).
TEST(CheckCharacter, mod_37_36_misses_the_known_swaps) {
  for (const auto& [left, right] :
       std::vector<std::pair<std::string, std::string>>{{"0JKY", "0KJY"}, {"1GH3", "1HG3"}}) {
    EXPECT_TRUE(mod_37_36_valid(left)) << left;
    EXPECT_TRUE(mod_37_36_valid(right)) << right;
  }
}

TEST(CheckCharacter, texts_outside_the_alphabet_have_no_check_character) {
  for (const std::string_view text : {"", "a", "16wc5", "16 WC5", "*", "1*2", "\xC3\x89", "16-WC5"}) {
    EXPECT_EQ(mod_37_36_check(text), std::nullopt) << text;
    EXPECT_EQ(mod_37_2_check(text), std::nullopt) << text;
    EXPECT_EQ(mod_1271_36_check(text), std::nullopt) << text;
  }
  EXPECT_EQ(mod_37_36_check(std::string_view{"A\0B", 3}), std::nullopt);
}

TEST(CheckCharacter, a_text_without_data_is_never_valid) {
  for (const std::string_view text : {"", "1", "01", "Z", "*", "2"}) {
    EXPECT_FALSE(mod_1271_36_valid(text)) << text;
    if (text.size() > 1) continue;
    EXPECT_FALSE(mod_37_36_valid(text)) << text;
    EXPECT_FALSE(mod_37_2_valid(text)) << text;
  }
}

TEST(CheckCharacter, the_asterisk_stands_only_in_the_last_place_of_mod_37_2) {
  EXPECT_TRUE(mod_37_2_valid("A999922012346*"));
  EXPECT_FALSE(mod_37_2_valid("*999922012346*"));
  EXPECT_FALSE(mod_37_36_valid("A999922012346*"));
}

TEST(CheckCharacter, check_values_above_the_modulus_are_refused) {
  // 1271 … 1295 can be written in two base-36 digits and satisfy the congruence, but are never made.
  const std::string data = "ISO79";
  int accepted = 0;
  for (const char first : k_alphabet)
    for (const char second : k_alphabet) accepted += mod_1271_36_valid(data + first + second) ? 1 : 0;
  EXPECT_EQ(accepted, 1);
}

using Valid = std::function<bool(std::string_view)>;

// Every text of the list with every single character replaced by every other one.
int undetected_substitutions(const std::vector<std::string>& texts, const Valid& valid) {
  int undetected = 0;
  for (const std::string& text : texts) {
    for (std::size_t at = 0; at < text.size(); ++at) {
      for (const char other : k_alphabet) {
        if (other == text[at]) continue;
        std::string changed = text;
        changed[at] = other;
        undetected += valid(changed) ? 1 : 0;
      }
    }
  }
  return undetected;
}

std::vector<std::string> data_texts() {
  std::vector<std::string> texts = {"16WC5", "41BL323", "00000", "ZZZZZZ", "SM1K7QDB0042Z9N16WC5Z312Z3347"};
  for (const char a : k_alphabet)
    for (const char b : k_alphabet) texts.push_back(std::string{a, b} + "0O1IL");
  return texts;
}

template <typename Check>
std::vector<std::string> with_check(Check check) {
  std::vector<std::string> texts;
  for (const std::string& data : data_texts()) texts.push_back(data + *check(data));
  return texts;
}

TEST(CheckCharacter, every_single_substitution_is_detected) {
  EXPECT_EQ(undetected_substitutions(with_check(mod_37_36_check), mod_37_36_valid), 0);
  EXPECT_EQ(undetected_substitutions(with_check(mod_37_2_check), mod_37_2_valid), 0);
  EXPECT_EQ(undetected_substitutions(with_check(mod_1271_36_check), mod_1271_36_valid), 0);
}

// Data of three characters, exhaustively over the last two: swaps within the data.
template <typename Check>
int undetected_swaps(Check check, const Valid& valid) {
  int undetected = 0;
  for (const char a : k_alphabet) {
    for (const char b : k_alphabet) {
      for (const char c : k_alphabet) {
        if (b == c) continue;
        std::string text{a, b, c};
        text += *check(text);
        std::swap(text[1], text[2]);
        undetected += valid(text) ? 1 : 0;
      }
    }
  }
  return undetected;
}

TEST(CheckCharacter, the_pure_systems_detect_every_adjacent_swap) {
  EXPECT_EQ(undetected_swaps(mod_37_2_check, mod_37_2_valid), 0);
  EXPECT_EQ(undetected_swaps(mod_1271_36_check, mod_1271_36_valid), 0);
}

TEST(CheckCharacter, mod_37_36_misses_72_of_45360_adjacent_swaps) {
  // Enumerated over every state before the pair. One leading character reaches each of the 36 states once.
  EXPECT_EQ(undetected_swaps(mod_37_36_check, mod_37_36_valid), 72);
}

}  // namespace
}  // namespace sherdmark
