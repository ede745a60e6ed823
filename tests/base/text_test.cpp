#include "sherdmark/base/text.h"

#include <gtest/gtest.h>

#include <ostream>

namespace sherdmark {
namespace {

struct Utf8Row {
  std::string bytes;
  bool valid;
};

void PrintTo(const Utf8Row& row, std::ostream* out) {
  *out << printable(row.bytes) << (row.valid ? " valid" : " not valid");
}

class Utf8 : public ::testing::TestWithParam<Utf8Row> {};

TEST_P(Utf8, is_told_from_what_is_not) {
  EXPECT_EQ(is_valid_utf8(GetParam().bytes), GetParam().valid);
  EXPECT_EQ(decode_utf8(GetParam().bytes).has_value(), GetParam().valid);
}

// RFC 3629, section 4 (the byte ranges of well-formed sequences) and section 10 (overlong forms), from memory.
INSTANTIATE_TEST_SUITE_P(Sequences, Utf8,
                         ::testing::Values(Utf8Row{"", true}, Utf8Row{"16WC5", true}, Utf8Row{"\x7F", true},
                                           Utf8Row{"\xC2\x80", true}, Utf8Row{"\xDF\xBF", true},
                                           Utf8Row{"\xE0\xA0\x80", true}, Utf8Row{"\xED\x9F\xBF", true},
                                           Utf8Row{"\xEE\x80\x80", true}, Utf8Row{"\xF0\x90\x80\x80", true},
                                           Utf8Row{"\xF4\x8F\xBF\xBF", true},
                                           // overlong
                                           Utf8Row{"\xC0\x80", false}, Utf8Row{"\xC1\xBF", false},
                                           Utf8Row{"\xE0\x9F\xBF", false}, Utf8Row{"\xF0\x8F\xBF\xBF", false},
                                           // surrogates, beyond the last code point, lone and cut sequences
                                           Utf8Row{"\xED\xA0\x80", false}, Utf8Row{"\xED\xBF\xBF", false},
                                           Utf8Row{"\xF4\x90\x80\x80", false}, Utf8Row{"\xF5\x80\x80\x80", false},
                                           Utf8Row{"\x80", false}, Utf8Row{"\xBF", false}, Utf8Row{"\xC2", false},
                                           Utf8Row{"\xE2\x82", false}, Utf8Row{"\xC2\x41", false},
                                           Utf8Row{"\xFF", false}));

TEST(Utf8, every_code_point_goes_there_and_back) {
  for (char32_t c = 0; c <= 0x10FFFF; ++c) {
    if (c >= 0xD800 && c <= 0xDFFF) continue;
    const std::string bytes = encode_utf8(std::u32string_view{&c, 1});
    const auto back = decode_utf8(bytes);
    ASSERT_TRUE(back.has_value()) << static_cast<std::uint32_t>(c);
    ASSERT_EQ(*back, std::u32string(1, c));
  }
}

TEST(Utf8, code_points_are_counted_and_bad_bytes_count_one_each) {
  EXPECT_EQ(code_point_count("Ébène"), 5U);
  EXPECT_EQ(code_point_count("a\xFF\xFE z"), 5U);
}

TEST(Text, trim_takes_ascii_white_space_only) {
  EXPECT_EQ(trim(" \t a b\r\n"), "a b");
  EXPECT_EQ(trim("   "), "");
  EXPECT_EQ(trim("\xC2\xA0x"), "\xC2\xA0x");
}

TEST(Text, split_keeps_empty_parts_and_join_puts_them_back) {
  EXPECT_EQ(split("a,,b,", ','), (std::vector<std::string>{"a", "", "b", ""}));
  EXPECT_EQ(split("", ','), std::vector<std::string>{""});
  EXPECT_EQ(join(split("a,,b,", ','), ","), "a,,b,");
}

TEST(Text, case_changes_touch_ascii_letters_only) {
  EXPECT_EQ(to_upper_ascii("16wc5 é"), "16WC5 é");
  EXPECT_EQ(to_lower_ascii("AZ[É"), "az[É");
}

TEST(Text, an_integer_is_the_whole_text_or_nothing) {
  EXPECT_EQ(parse_integer("347"), 347);
  EXPECT_EQ(parse_integer("-5"), -5);
  EXPECT_EQ(parse_integer("9223372036854775807"), INT64_MAX);
  for (const char* text : {"", " 1", "1 ", "+1", "1.0", "0x1F", "12a", "9223372036854775808", "--1"})
    EXPECT_EQ(parse_integer(text), std::nullopt) << text;
}

TEST(Text, a_decimal_is_finite_and_the_whole_text) {
  EXPECT_EQ(parse_decimal("2.5"), 2.5);
  EXPECT_EQ(parse_decimal("-0.25"), -0.25);
  for (const char* text : {"", "2,5", "1e3", "inf", "nan", "2.5 g", " 2.5"})
    EXPECT_EQ(parse_decimal(text), std::nullopt) << text;
}

struct PrintableRow {
  std::string raw;
  std::string shown;
};

void PrintTo(const PrintableRow& row, std::ostream* out) { *out << row.shown; }

class Printable : public ::testing::TestWithParam<PrintableRow> {};

TEST_P(Printable, shows_what_would_steer_a_terminal_or_hide) { EXPECT_EQ(printable(GetParam().raw), GetParam().shown); }

INSTANTIATE_TEST_SUITE_P(
    Hostile, Printable,
    ::testing::Values(PrintableRow{"16WC5 été", "16WC5 été"}, PrintableRow{"\x1B[2J", "\\u{001B}[2J"},
                      PrintableRow{"\x1B]0;title\x07", "\\u{001B}]0;title\\u{0007}"},
                      PrintableRow{"a\nb\tc\rd", "a\\u{000A}b\\u{0009}c\\u{000D}d"},
                      PrintableRow{"\xC2\x9B"
                                   "31m",
                                   "\\u{009B}31m"},  // the one-character CSI
                      PrintableRow{"\x9B"
                                   "31m",
                                   "\\x9B"
                                   "31m"},  // the same as a raw byte
                      PrintableRow{"abc\xE2\x80\xAE"
                                   "dc",
                                   "abc\\u{202E}dc"},  // right-to-left override
                      PrintableRow{"1\xD8\x9C"
                                   "2",
                                   "1\\u{061C}2"},  // Arabic letter mark
                      PrintableRow{"1\xE2\x80\x8B"
                                   "2",
                                   "1\\u{200B}2"},  // zero-width space
                      PrintableRow{"\xEF\xBB\xBFid", "\\u{FEFF}id"}, PrintableRow{std::string{"\0", 1}, "\\u{0000}"},
                      PrintableRow{"\x7F", "\\u{007F}"}, PrintableRow{"\xF3\xA0\x81\x81", "\\u{E0041}"}));

TEST(Printable, never_lets_a_control_byte_through) {
  std::string all;
  for (int i = 0; i < 256; ++i) all.push_back(static_cast<char>(i));
  for (const char c : printable(all)) {
    const auto byte = static_cast<unsigned char>(c);
    EXPECT_TRUE(byte >= 0x20 && byte != 0x7F) << int{byte};
  }
  EXPECT_TRUE(is_valid_utf8(printable(all)));
}

}  // namespace
}  // namespace sherdmark
