#include "sherdmark/standard/label_role.h"

#include <gtest/gtest.h>

#include <set>

namespace sherdmark {
namespace {

TEST(LabelRole, LettersAndTextsOfEveryRoleReadBack) {
  std::set<char> letters;
  for (int i = 0; i <= static_cast<int>(LabelRole::action); ++i) {
    const auto role = static_cast<LabelRole>(i);
    EXPECT_EQ(role_of_letter(role_letter(role)), role);
    EXPECT_EQ(parse_role(to_text(role)), role);
    EXPECT_TRUE(letters.insert(role_letter(role)).second);
  }
  EXPECT_FALSE(role_of_letter('Z'));
  EXPECT_FALSE(parse_role("Bag"));
}

TEST(LabelRole, TheLettersInPrintedCodesAreFrozen) {
  EXPECT_EQ(role_letter(LabelRole::artifact), 'A');
  EXPECT_EQ(role_letter(LabelRole::bag), 'B');
  EXPECT_EQ(role_letter(LabelRole::tag), 'T');
  EXPECT_EQ(role_letter(LabelRole::box), 'X');
  EXPECT_EQ(role_letter(LabelRole::shelf), 'H');
  EXPECT_EQ(role_letter(LabelRole::field_tag), 'F');
  EXPECT_EQ(role_letter(LabelRole::divider), 'D');
  EXPECT_EQ(role_letter(LabelRole::removal_slip), 'R');
  EXPECT_EQ(role_letter(LabelRole::action), 'K');
}

}  // namespace
}  // namespace sherdmark
