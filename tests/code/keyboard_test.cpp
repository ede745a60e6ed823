// What a scanner that types by another keyboard layout makes of our codes. Layouts: xkeyboard-config 2.35.1, the
// "basic" sections of its files symbols/us, gb, de and fr (those that include "latin": with what latin gives).
#include "sherdmark/code/keyboard.h"

#include <gtest/gtest.h>

#include "sherdmark/base/random.h"
#include "sherdmark/base/text.h"
#include "sherdmark/code/cards.h"

namespace sherdmark {
namespace {

const std::string k_key = "K7QD";
const std::string k_bag_code = "SM1K7QDB0A42Z9N16WC5Z312Z3347Z91Q100000101WL";  // docs/formats/link-code.md
const std::string k_micro = "Y16WC5Z312Z3347BK";

// Key by key from the top left, as xkeyboard-config names them: AE01 … AE10, AD01 … AD10, AC01 … AC10, AB01 … AB08.
struct Layout {
  Keyboard keyboard;
  std::u32string plain, shifted;
};
const Layout k_layouts[] = {
    {Keyboard::us, U"1234567890qwertyuiopasdfghjkl;zxcvbnm,", U"!@#$%^&*()QWERTYUIOPASDFGHJKL:ZXCVBNM<"},
    {Keyboard::uk, U"1234567890qwertyuiopasdfghjkl;zxcvbnm,", U"!\"£$%^&*()QWERTYUIOPASDFGHJKL:ZXCVBNM<"},
    {Keyboard::german, U"1234567890qwertzuiopasdfghjklöyxcvbnm,", U"!\"§$%&/()=QWERTZUIOPASDFGHJKLÖYXCVBNM;"},
    {Keyboard::french, U"&é\"'(-è_çàazertyuiopqsdfghjklmwxcvbn,;", U"1234567890AZERTYUIOPQSDFGHJKLMWXCVBN?."}};

// What a computer with one layout hears when a scanner presses the keys of another: found on the keys alone.
std::string heard_by_the_keys(const Layout& scanner, const Layout& computer, std::string_view code) {
  std::u32string heard;
  for (const char character : code) {
    const auto wanted = static_cast<char32_t>(character);
    const std::size_t plain = scanner.plain.find(wanted);
    heard +=
        plain != std::u32string::npos ? computer.plain.at(plain) : computer.shifted.at(scanner.shifted.find(wanted));
  }
  return encode_utf8(heard);
}

TEST(Keyboard, every_pair_of_layouts_is_as_the_published_layouts_say_key_by_key) {
  const std::string card = write_action_card(k_key, ScanAction::setup);  // every character of a code stands on it
  for (const Layout& scanner : k_layouts)
    for (const Layout& computer : k_layouts) {
      const std::string name =
          std::string{to_text(scanner.keyboard)} + " on " + std::string{to_text(computer.keyboard)};
      const KeyboardSetup setup{scanner.keyboard, computer.keyboard, false, "", ""};
      const std::string heard = heard_by_the_keys(scanner, computer, card);
      EXPECT_EQ(typed_by(setup, card), heard) << name;
      const auto found = detect_keyboard(heard + "\r", k_key);
      ASSERT_TRUE(found) << name;
      const std::string bag = heard_by_the_keys(scanner, computer, k_bag_code);
      EXPECT_EQ(understand(bag, k_key, *found).text, k_bag_code) << name << ", set up";
      EXPECT_EQ(understand(bag, k_key, {}).text, k_bag_code) << name << ", not set up";
    }
}

TEST(Keyboard, caps_lock_is_undone_whether_or_not_it_shifts_the_digits) {
  const std::string card = write_action_card(k_key, ScanAction::setup);
  const auto with_caps_lock = [](const Layout& computer, std::string_view code, bool digits_too) {
    std::u32string heard;  // a US scanner: letters with shift, digits without
    for (const char character : code) {
      const auto wanted = static_cast<char32_t>(character);
      const std::size_t plain = k_layouts[0].plain.find(wanted);
      const bool digit = plain != std::u32string::npos;
      const std::size_t key = digit ? plain : k_layouts[0].shifted.find(wanted);
      heard += digit && digits_too ? computer.shifted.at(key) : computer.plain.at(key);
    }
    return encode_utf8(heard);
  };
  for (const Layout& computer : k_layouts)
    for (const bool digits_too : {false, true}) {
      const bool shifts_letters_only = computer.keyboard == Keyboard::us || computer.keyboard == Keyboard::uk;
      if (digits_too && shifts_letters_only) continue;
      const auto setup = detect_keyboard("]Q1" + with_caps_lock(computer, card, digits_too) + "#", k_key);
      ASSERT_TRUE(setup) << to_text(computer.keyboard) << digits_too;
      EXPECT_TRUE(setup->swapped_case);
      EXPECT_EQ(setup->prefix + setup->suffix, "]Q1#");
      const std::string bag = "]Q1" + with_caps_lock(computer, k_bag_code, digits_too) + "#";
      EXPECT_EQ(understand(bag, k_key, *setup).text, k_bag_code) << to_text(computer.keyboard) << digits_too;
    }
}

struct Row {
  const char* name;
  KeyboardSetup setup;
  const char* heard;  // of "QWAZYM0129"
};

TEST(Keyboard, a_code_typed_by_one_layout_and_heard_by_another_comes_out_as_the_keys_say) {
  const Row rows[] = {
      {"same", {}, "QWAZYM0129"},
      {"US on German", {Keyboard::us, Keyboard::german, false, "", ""}, "QWAYZM0129"},
      {"German on US", {Keyboard::german, Keyboard::us, false, "", ""}, "QWAYZM0129"},
      {"US on French", {Keyboard::us, Keyboard::french, false, "", ""}, "AZQWY?à&éç"},
      {"French on US", {Keyboard::french, Keyboard::us, false, "", ""}, "AZQWY:)!@("},
      {"French on UK", {Keyboard::french, Keyboard::uk, false, "", ""}, "AZQWY:)!\"("},
      {"French on German", {Keyboard::french, Keyboard::german, false, "", ""}, "AYQWZÖ=!\")"},
      {"caps lock", {Keyboard::us, Keyboard::us, true, "", ""}, "qwazym0129"},
      {"US on French with caps lock", {Keyboard::us, Keyboard::french, true, "", ""}, "azqwy,0129"},
  };
  for (const Row& row : rows) {
    EXPECT_EQ(typed_by(row.setup, "QWAZYM0129"), row.heard) << row.name;
    EXPECT_EQ(undo_keyboard(row.setup, row.heard), "QWAZYM0129") << row.name;
  }
}

TEST(Keyboard, the_setup_card_shows_layout_case_prefix_and_suffix) {
  const std::string card = write_action_card(k_key, ScanAction::setup);
  for (const KeyboardSetup& setup : keyboard_setups()) {
    KeyboardSetup dressed = setup;
    dressed.prefix = "]Q1";
    dressed.suffix = "#";
    EXPECT_EQ(detect_keyboard(typed_by(dressed, card), k_key), dressed) << layout_text(setup);
    EXPECT_FALSE(keyboard_in_words(dressed).empty());
    KeyboardSetup again;
    EXPECT_TRUE(parse_layout(layout_text(setup), again));
    EXPECT_EQ(layout_text(again), layout_text(setup));
  }
  EXPECT_EQ(detect_keyboard(card.substr(1), k_key), std::nullopt) << "cut";
  EXPECT_EQ(detect_keyboard(card, "0000"), std::nullopt) << "another collection's card";
  EXPECT_EQ(detect_keyboard(k_bag_code, k_key), std::nullopt);
}

TEST(Keyboard, a_code_in_another_layout_is_understood_because_its_check_characters_hold) {
  for (const KeyboardSetup& setup : keyboard_setups()) {
    const HeardCode heard = understand(typed_by(setup, k_bag_code), k_key, {});
    EXPECT_EQ(heard.text, k_bag_code) << layout_text(setup);
    EXPECT_EQ(heard.how, setup.changes_nothing() ? Understood::as_heard : Understood::other_layout);
    ASSERT_TRUE(heard.reading.link) << layout_text(setup);
    const HeardCode known = understand(typed_by(setup, k_bag_code), k_key, setup);
    EXPECT_EQ(known.how, setup.changes_nothing() ? Understood::as_heard : Understood::by_setup);
  }
}

TEST(Keyboard, a_micro_code_is_understood_as_heard_or_by_the_setup_only) {
  const KeyboardSetup german{Keyboard::us, Keyboard::german, false, "", ""};
  EXPECT_TRUE(understand(k_micro, k_key, {}).reading.micro);
  EXPECT_FALSE(understand(typed_by(german, k_micro), k_key, {}).reading.micro);
  EXPECT_TRUE(understand(typed_by(german, k_micro), k_key, german).reading.micro);
}

TEST(Keyboard, a_damaged_code_is_never_made_whole_by_trying_layouts) {
  SeededRandom random{7};
  constexpr std::string_view k_alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
  int accepted = 0;
  constexpr int k_trials = 3000;
  for (int i = 0; i < k_trials; ++i) {
    std::string damaged = k_bag_code;
    const std::size_t at = random.below(damaged.size());
    const char other = k_alphabet[random.below(k_alphabet.size())];
    if (other == damaged[at]) continue;
    damaged[at] = other;  // ISO/IEC 7064: every single substitution is detected
    if (understand(damaged, k_key, {}).reading.status == LinkStatus::ours) ++accepted;
  }
  EXPECT_EQ(accepted, 0);
}

TEST(Keyboard, what_a_person_types_stays_as_it_is) {
  for (const std::string typed : {"16ZQ5/12.66", "12a", "place Room 2/Shelf 3", "+"}) {
    const HeardCode heard = understand("  " + typed + "\r", k_key, {Keyboard::us, Keyboard::german, false, "", ""});
    EXPECT_EQ(heard.text, typed);
    EXPECT_EQ(heard.reading.status, LinkStatus::foreign);
  }
}

}  // namespace
}  // namespace sherdmark
