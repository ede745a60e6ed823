// Cards: what an action card and a divider say.
#include <gtest/gtest.h>

#include <algorithm>

#include "sherdmark/base/error.h"
#include "sherdmark/code/cards.h"

namespace sherdmark {
namespace {

constexpr const char* k_key = "K7QD";

LinkCode link_of(const std::string& text) { return parse_code_text(text).link.value(); }

TEST(Cards, every_action_comes_back_from_its_card_and_no_two_cards_are_alike) {
  std::vector<std::string> texts;
  for (const ScanAction action : all_scan_actions()) {
    const std::string text = write_action_card(k_key, action);
    EXPECT_EQ(action_of(link_of(text)), action) << text;
    EXPECT_EQ(text.find_first_not_of("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"), std::string::npos) << text;
    EXPECT_FALSE(divider_set(link_of(text)));
    texts.push_back(text);
  }
  std::sort(texts.begin(), texts.end());
  EXPECT_EQ(std::adjacent_find(texts.begin(), texts.end()), texts.end());
}

TEST(Cards, a_card_with_an_action_word_of_a_newer_deck_gives_no_order) {
  LinkCode link = link_of(write_action_card(k_key, ScanAction::next));
  link.subject = "LATER";
  EXPECT_FALSE(action_of(link_of(write_link_code(link))));
}

TEST(Cards, a_bag_called_next_is_a_bag) {
  LinkCode link = link_of(write_action_card(k_key, ScanAction::next));
  link.role = LabelRole::bag;
  EXPECT_FALSE(action_of(link_of(write_link_code(link))));
}

TEST(Cards, a_divider_names_the_set_that_begins_with_it) {
  for (const std::string set : {"1", "12", "TRAY3", "ABCDEFGHIJKLMNOPQRSTUVWXYZ012345"})
    EXPECT_EQ(divider_set(link_of(write_divider(k_key, set))), set);
  EXPECT_THROW((void)write_divider(k_key, ""), Error);
  EXPECT_THROW((void)write_divider(k_key, "tray 3"), Error);
  EXPECT_THROW((void)write_divider("K7", "1"), Error);
}

TEST(Cards, the_set_up_card_carries_every_character_a_code_can_have) {
  const std::string text = write_action_card(k_key, ScanAction::setup);
  for (const char c : std::string{"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"})
    EXPECT_NE(text.find(c), std::string::npos) << c;
}

}  // namespace
}  // namespace sherdmark
