#include "catalog/unicode_text.h"

#include <gtest/gtest.h>

namespace sherdmark {
namespace {

// UTS #39: a text of look-alikes has the skeleton of what it looks like.
TEST(LookAlikes, HaveTheSameKey) {
  // "paypal" with Cyrillic letters, the published example of a spoof.
  EXPECT_EQ(look_alike_key("\u0440\u0430\u0443\u0440\u0430l"), look_alike_key("paypal"));
  // A styled (mathematical bold) "paypal".
  EXPECT_EQ(look_alike_key("\U0001D429\U0001D41A\U0001D432\U0001D429\U0001D41A\U0001D425"), look_alike_key("paypal"));
  // confusables.txt, from memory: 0 and O, 1 and l and I, m and rn.
  EXPECT_EQ(look_alike_key("0"), look_alike_key("O"));
  EXPECT_EQ(look_alike_key("1I"), look_alike_key("lI"));
  EXPECT_EQ(look_alike_key("rn"), look_alike_key("m"));
  // Not covered by UTS #39.
  for (const auto& [a, b] : std::vector<std::pair<const char*, const char*>>{{"5", "S"}, {"2", "Z"}, {"8", "B"}})
    EXPECT_NE(look_alike_key(a), look_alike_key(b));
}

struct TypedCase {
  const char* written;
  const char* typed;
  bool mixed;
};

TEST(LookAlikes, AreReadAsTheLatinLetterTheyAreTakenFor) {
  for (const TypedCase& one : std::vector<TypedCase>{{"12\u0410", "12A", true},
                                                     {"\u0412\u0415\u041A", "BEK", false},
                                                     {"1\u041E", "1O", true},
                                                     {"\u0399\u0406", "II", false},
                                                     {"\u0391\u0392\u0395", "ABE", false},
                                                     {"\uFF21\uFF11", "A1", false},
                                                     {"\u0661\u0662", "12", false},
                                                     {"caf\u00E9", "caf\u00E9", false},
                                                     {"7\u22123", "7-3", false},
                                                     {"7\u2009\u20143", "7 -3", false},
                                                     {"a\u200Db", "ab", false},
                                                     {"\u0421\u0435\u0440", "Cep", false}}) {
    EXPECT_EQ(as_typed(one.written, true).text, one.typed) << one.written;
    EXPECT_EQ(mixes_alphabets(one.written), one.mixed) << one.written;
  }
}

TEST(Text, IsComposed) {
  // Unicode Standard Annex #15, figure 3: A with ring, composed and decomposed, and the Angstrom sign.
  EXPECT_EQ(to_nfc("A\u030A"), "\u00C5");
  EXPECT_EQ(to_nfc("\u212B"), "\u00C5");
}

TEST(HiddenCharacters, AreNamed) {
  // The bidirectional controls of Unicode Standard Annex #9.
  for (const char* control : {"\u202A", "\u202B", "\u202C", "\u202D", "\u202E", "\u2066", "\u2067", "\u2068", "\u2069",
                              "\u200E", "\u200F", "\u061C"})
    EXPECT_EQ(find_hidden(std::string{"a"} + control + "b").direction.size(), 1U);
  for (const char* hidden : {"\u200B", "\uFEFF", "\u00AD", "\u2060", "\u180E"})
    EXPECT_EQ(find_hidden(std::string{"a"} + hidden + "b").invisible.size(), 1U);
  EXPECT_TRUE(find_hidden("na\u00EFve \u4E2D\u6587 \u0645\u06CC\u200C\u062E\u0648\u0627\u0647\u0645").none());
}

}  // namespace
}  // namespace sherdmark
