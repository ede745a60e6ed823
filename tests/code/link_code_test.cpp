#include "sherdmark/code/link_code.h"

#include <gtest/gtest.h>

#include <functional>
#include <map>
#include <set>

#include "sherdmark/base/error.h"
#include "sherdmark/base/random.h"
#include "sherdmark/base/text.h"
#include "sherdmark/code/check_character.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

LinkCode bag_link(std::string number = "16WC5/12/347") {
  LinkCode link;
  link.collection_key = "K7QD";
  link.role = LabelRole::bag;
  link.subject = "00042Z";
  link.number = std::move(number);
  link.serial = "1A2B3C4D";
  return link;
}

std::string with_check(const std::string& data) { return data + mod_1271_36_check(data).value(); }

// Characters that tempt an escaping: its own lead, its digits, neighbours of the ranges, edges of the encodings.
std::string any_number(RandomSource& random) {
  static const std::u32string k_tempting =
      U"ZYA0159az-./ :()_+\"#@\u00E9\u00DF\u0130\u03A9\u0416\u4E2D\U0001F3FA\uFFFD\U0010FFFF\u200B\u202E\u0001";
  std::u32string text;
  const std::uint64_t length = random.below(k_longest_number) + 1;
  while (text.size() < length) {
    if (random.below(3) > 0) {
      text.push_back(k_tempting[random.below(k_tempting.size())]);
      continue;
    }
    const auto c = static_cast<char32_t>(random.below(0x110000));
    if (c < 0xD800 || c > 0xDFFF) text.push_back(c);
  }
  return encode_utf8(text);
}

LinkCode any_link(RandomSource& random) {
  const auto base36 = [&random](std::size_t length) {
    std::string text;
    while (text.size() < length) text.push_back(k_alphabet[random.below(36)]);
    return text;
  };
  LinkCode link;
  link.collection_key = base36(4);
  link.role = role_of_letter("ABTXHFDRK"[random.below(9)]).value();
  link.subject = base36(1 + random.below(k_longest_subject));
  link.number = any_number(random);
  link.number_is_opaque = random.below(2) == 1;
  link.ordinal = 1 + static_cast<int>(random.below(k_largest_ordinal));
  link.serial = base36(8);
  link.revision = 1 + static_cast<int>(random.below(k_largest_revision));
  return link;
}

bool only_code_characters(const std::string& text) { return text.find_first_not_of(k_alphabet) == std::string::npos; }

TEST(LinkCode, a_code_says_again_what_was_written) {
  SeededRandom random{20310504};
  for (int i = 0; i < 20000; ++i) {
    const LinkCode link = any_link(random);
    const std::string text = write_link_code(link);
    ASSERT_TRUE(only_code_characters(text)) << text;
    const LinkReading reading = parse_code_text(text);
    ASSERT_EQ(reading.status, LinkStatus::ours) << text;
    ASSERT_EQ(reading.link, link) << text;
    ASSERT_EQ(reading.version, 1);
    ASSERT_FALSE(reading.micro);
  }
}

TEST(LinkCode, a_micro_code_says_again_what_was_written) {
  SeededRandom random{5};
  for (int i = 0; i < 20000; ++i) {
    const MicroCodeText micro{any_number(random)};
    const std::string text = write_micro_code(micro);
    ASSERT_TRUE(only_code_characters(text)) << text;
    const LinkReading reading = parse_code_text(text);
    ASSERT_EQ(reading.status, LinkStatus::ours) << text;
    ASSERT_EQ(reading.micro, micro) << text;
    ASSERT_FALSE(reading.link);
  }
}

TEST(LinkCode, every_code_point_survives) {
  for (char32_t c = 0; c <= 0x10FFFF; ++c) {
    if (c == 0xD800) c = 0xE000;
    const std::string number = encode_utf8(std::u32string(1, c));
    const LinkReading reading = parse_code_text(write_micro_code({number}));
    ASSERT_TRUE(reading.micro && reading.micro->number == number) << "U+" << std::hex << static_cast<std::uint32_t>(c);
  }
}

TEST(LinkCode, different_numbers_never_share_a_code) {
  std::map<std::string, std::string> seen;  // code without its check characters → number
  const std::u32string characters = U"12Za-Z5.9é ";
  std::vector<std::u32string> numbers{U""};
  for (std::size_t i = 0; i < numbers.size(); ++i) {
    if (numbers[i].size() == 4) break;
    for (const char32_t c : characters) numbers.push_back(numbers[i] + c);
  }
  std::set<std::u32string> unique{numbers.begin(), numbers.end()};
  unique.erase(U"");
  for (const std::u32string& number : unique) {
    const std::string text = write_micro_code({encode_utf8(number)});
    const auto [known, is_new] = seen.emplace(text.substr(0, text.size() - 2), encode_utf8(number));
    ASSERT_TRUE(is_new) << known->second << " and " << encode_utf8(number) << " are both " << text;
  }
  EXPECT_GT(seen.size(), 8000U);
}

TEST(LinkCode, numbers_that_look_alike_have_different_codes) {
  const std::vector<std::pair<std::string, std::string>> rows = {
      {"12-3", "1-23"}, {"12a", "12A"}, {"12.3", "12/3"}, {"12 3", "123"},
      {"Z1", "-"},      {"Za", "ZA"},   {"é", "e\u0301"},  // composed and decomposed are kept apart
  };
  for (const auto& [left, right] : rows) {
    EXPECT_NE(write_micro_code({left}), write_micro_code({right})) << left;
    EXPECT_NE(write_link_code(bag_link(left)), write_link_code(bag_link(right))) << left;
  }
}

TEST(LinkCode, fields_do_not_run_into_each_other) {
  LinkCode one = bag_link("12");
  LinkCode other = bag_link("2");
  one.subject = "4";
  other.subject = "41";
  EXPECT_NE(write_link_code(one), write_link_code(other));
  LinkCode opaque = bag_link("12");
  opaque.number_is_opaque = true;
  EXPECT_NE(write_link_code(opaque), write_link_code(bag_link("12")));
}

// Any single wrong character, and any swap of neighbours, is never taken for one of our codes.
void expect_every_small_error_detected(const std::string& text) {
  for (std::size_t at = 0; at < text.size(); ++at) {
    for (const char other : k_alphabet) {
      std::string changed = text;
      changed[at] = other;
      if (changed == text) continue;
      const LinkStatus status = parse_code_text(changed).status;
      ASSERT_TRUE(status == LinkStatus::damaged || status == LinkStatus::foreign) << text << " → " << changed;
    }
    std::string swapped = text;
    if (at + 1 == text.size() || text[at] == text[at + 1]) continue;
    std::swap(swapped[at], swapped[at + 1]);
    const LinkStatus status = parse_code_text(swapped).status;
    ASSERT_TRUE(status == LinkStatus::damaged || status == LinkStatus::foreign) << text << " → " << swapped;
  }
}

TEST(LinkCode, every_single_substitution_and_adjacent_swap_is_detected) {
  SeededRandom random{1271};
  expect_every_small_error_detected(write_link_code(bag_link()));
  expect_every_small_error_detected(write_micro_code({"16WC5/12/347"}));
  for (int i = 0; i < 150; ++i) {
    expect_every_small_error_detected(write_link_code(any_link(random)));
    expect_every_small_error_detected(write_micro_code({any_number(random)}));
  }
}

TEST(LinkCode, a_code_cut_short_or_lengthened_is_not_ours) {
  SeededRandom random{3};
  for (int i = 0; i < 300; ++i) {
    const std::string text = write_link_code(any_link(random));
    for (std::size_t length = 0; length < text.size(); ++length)
      ASSERT_NE(parse_code_text(text.substr(0, length)).status, LinkStatus::ours) << text.substr(0, length);
    ASSERT_NE(parse_code_text(text + "0").status, LinkStatus::ours);
    ASSERT_NE(parse_code_text(text + "\r\n").status, LinkStatus::ours);
  }
}

struct StatusRow {
  std::string text;
  LinkStatus status;
  std::string why;
};

TEST(LinkCode, foreign_newer_and_damaged_codes_are_told_apart) {
  const std::string good = write_link_code(bag_link());
  const std::string data = good.substr(0, good.size() - 2);
  const auto altered = [&data](std::size_t at, char c) {
    std::string text = data;
    text[at] = c;
    return with_check(text);
  };
  const std::vector<StatusRow> rows = {
      // somebody else's
      {"", LinkStatus::foreign, "nothing"},
      {"https://example.org/", LinkStatus::foreign, "an address"},
      {"SM", LinkStatus::foreign, "only the opening"},
      {"SMITH COLLECTION", LinkStatus::foreign, "a name"},
      {"SM2000 TORCH 12V", LinkStatus::foreign, "characters that no code of ours has"},
      {"SM2000", LinkStatus::foreign, "too short"},
      {"SMALLFINDS2031", LinkStatus::foreign, "no version after the opening"},
      {"Y", LinkStatus::foreign, "a letter"},
      {"YARN", LinkStatus::foreign, "a word"},
      {"Y2031XX", LinkStatus::foreign, "wrong check characters"},
      {with_check("Y"), LinkStatus::foreign, "a micro-code without a number"},
      {with_check("YZ9"), LinkStatus::foreign, "an end of field"},
      {with_check("Y12Z"), LinkStatus::foreign, "an escape cut short"},
      {with_check("YZ51Z"), LinkStatus::ours, "U+0023 has no shorter spelling"},
      {with_check("YZ521C"), LinkStatus::foreign, "0 has a shorter spelling"},
      {with_check("YZ520Z"), LinkStatus::foreign, "a leading zero"},
      {with_check("YZ54NVNK"), LinkStatus::foreign, "past the last code point"},
      {with_check("YZ5416O0"), LinkStatus::foreign, "half of a surrogate pair"},
      // a later program's
      {altered(2, '2'), LinkStatus::newer, "version 2"},
      {with_check("SM9ABCDEFGHIJ"), LinkStatus::newer, "version 9 of another layout"},
      // ours, but not whole
      {data + "00", LinkStatus::damaged, "wrong check characters"},
      {good.substr(0, 20), LinkStatus::damaged, "cut short"},
      {altered(7, 'Q'), LinkStatus::damaged, "no such role"},
      {altered(data.size() - 11, '0'), LinkStatus::damaged, "ordinal 0"},
      {with_check(data.substr(0, data.size() - 2) + "00"), LinkStatus::damaged, "revision 0"},
      {with_check("SM1K7QDBZ9N1Z911A2B3C4D01"), LinkStatus::damaged, "a bag without an id"},
      {with_check("SM1K7QDDZ9NZ911A2B3C4D01"), LinkStatus::ours, "a divider may name nothing"},
      {with_check("SM1K7QDDZ9KZ911A2B3C4D01"), LinkStatus::damaged, "an empty opaque key"},
      {with_check("SM1K7QDBZAZ9NZ911A2B3C4D01"), LinkStatus::damaged, "a small letter in a bag id"},
      {with_check("SM1K7QDB4Z9M1Z911A2B3C4D01"), LinkStatus::damaged, "neither number nor key"},
      {with_check("SM1K7QDB4Z9N1Z911A2B3C4D010"), LinkStatus::damaged, "a character too many"},
      {with_check("SM1" + std::string(700, '0')), LinkStatus::damaged, "longer than any code"},
  };
  for (const StatusRow& row : rows)
    EXPECT_EQ(parse_code_text(row.text).status, row.status) << row.why << ": " << row.text;
}

TEST(LinkCode, any_bytes_have_an_answer) {
  SeededRandom random{77};
  const std::string opening = "SM1K7QDB";
  for (int i = 0; i < 200000; ++i) {
    std::string bytes = i % 3 == 0 ? opening : i % 3 == 1 ? "Y" : "";
    for (std::uint64_t n = random.below(40); n > 0; --n)
      bytes.push_back(i % 2 == 0 ? static_cast<char>(random.below(256)) : k_alphabet[random.below(36)]);
    const LinkReading reading = parse_code_text(bytes);
    if (reading.status != LinkStatus::ours) continue;
    // What is called ours is the one text that its content is written as.
    EXPECT_EQ(reading.link ? write_link_code(*reading.link) : write_micro_code(reading.micro.value()), bytes);
  }
}

struct LimitRow {
  std::function<void(LinkCode&)> spoil;
  std::string text;
};

TEST(LinkCode, fields_beyond_the_limits_are_refused_in_words) {
  const std::vector<LimitRow> rows = {
      {[](LinkCode& l) { l.collection_key = "K7Q"; }, "The collection key \"K7Q\" cannot go into a code"},
      {[](LinkCode& l) { l.collection_key = "k7qd"; }, "4 characters of 0-9 and A-Z"},
      {[](LinkCode& l) { l.serial = "1A2B3C4"; }, "print serial"},
      {[](LinkCode& l) { l.subject = "B-1"; }, "subject"},
      {[](LinkCode& l) { l.subject = ""; }, "a bag label must name one"},
      {[](LinkCode& l) { l.subject = std::string(33, 'A'); }, "at most 32"},
      {[](LinkCode& l) { l.number = std::string(65, '1'); }, "longer than 64 characters"},
      {[](LinkCode& l) { l.number = "\xFF"; }, "not valid UTF-8"},
      {[](LinkCode& l) { l.number = "", l.number_is_opaque = true; }, "an opaque key cannot be empty"},
      {[](LinkCode& l) { l.ordinal = 0; }, "1 to 35"},
      {[](LinkCode& l) { l.ordinal = 36; }, "1 to 35"},
      {[](LinkCode& l) { l.revision = 0; }, "1 to 1295"},
      {[](LinkCode& l) { l.revision = 1296; }, "1 to 1295"},
  };
  for (const LimitRow& row : rows) {
    LinkCode link = bag_link();
    row.spoil(link);
    try {
      EXPECT_EQ(write_link_code(link), "refused: " + row.text);
    } catch (const Error& error) {
      EXPECT_EQ(error.family(), ErrorFamily::data);
      EXPECT_NE(std::string{error.what()}.find(row.text), std::string::npos) << error.what();
    }
  }
  EXPECT_THROW((void)write_micro_code({""}), Error);
}

TEST(LinkCode, the_limits_themselves_are_allowed) {
  LinkCode link = bag_link(encode_utf8(std::u32string(k_longest_number, U'\U0010FFFF')));
  link.subject = std::string(k_longest_subject, 'Z');
  link.ordinal = k_largest_ordinal;
  link.revision = k_largest_revision;
  EXPECT_EQ(parse_code_text(write_link_code(link)).link, link);
}

}  // namespace
}  // namespace sherdmark
