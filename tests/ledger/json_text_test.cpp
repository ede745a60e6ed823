#include "ledger/json_text.h"

#include <gtest/gtest.h>

#include "sherdmark/base/error.h"
#include "sherdmark/base/random.h"

namespace sherdmark {
namespace {

TEST(JsonText, the_canonical_form_has_no_spaces_and_ascending_keys) {
  JsonWriter out;
  out.begin_object().key("a").integer(-7).key("b").begin_array().text("x\"\\\n\x01é").decimal(0.1).null().boolean(true);
  out.end_array().key("c").begin_object().end_object().end_object();
  EXPECT_EQ(out.str(), "{\"a\":-7,\"b\":[\"x\\\"\\\\\\n\\u0001é\",0.1,null,true],\"c\":{}}");
}

TEST(JsonText, what_is_written_is_utf_8_whatever_was_typed) {
  JsonWriter out;
  out.text("M\xFCller \"é\"");
  EXPECT_EQ(out.str(), "\"M\\\\xFCller \\\"é\\\"\"");
}

TEST(JsonText, keys_out_of_order_are_our_own_mistake) {
  JsonWriter out;
  out.begin_object().key("b").integer(1);
  EXPECT_THROW(out.key("a"), Error);
}

TEST(JsonText, every_text_reads_back) {
  SeededRandom random{3};
  for (int round = 0; round < 2000; ++round) {
    std::string text;
    for (std::uint64_t n = random.below(40); n > 0; --n) text += static_cast<char>(random.below(0x7f) + 1);
    JsonWriter out;
    out.begin_array().text(text).text("behind").end_array();
    auto walk = JsonView{out.str()}.elements();
    EXPECT_EQ(walk.need().text(), text);
    EXPECT_EQ(walk.need().text(), "behind");
    EXPECT_FALSE(walk.next());
  }
}

TEST(JsonText, what_needs_an_escape_gets_it_wherever_it_stands) {
  for (std::size_t length = 1; length < 20; ++length)
    for (std::size_t at = 0; at < length; ++at)
      for (const std::string odd : {"\"", "\\", "\n", "\x01", "\x1f", " ", "!", "#", "[", "\x7f", "\u0080", "\u00FF"}) {
        std::string text(length, 'x');
        text.replace(at, 1, odd);
        const bool escaped = odd == "\"" || odd == "\\" || (odd[0] >= 0 && odd[0] < ' ');
        JsonWriter out;
        out.text(text);
        EXPECT_EQ(out.str() == "\"" + text + "\"", !escaped) << length << " " << at << " " << odd;
        EXPECT_EQ(JsonView{out.str()}.text(), text);
      }
}

TEST(JsonText, numbers_read_back_exactly) {
  for (const double value : {0.1, 1e-300, 12345.678, 30.5, -2.0, 1.0 / 3.0}) {
    JsonWriter out;
    out.decimal(value);
    EXPECT_EQ(JsonView{out.str()}.decimal(), value);
  }
}

TEST(JsonText, damaged_payloads_are_an_error_and_never_a_crash) {
  JsonWriter out;
  out.begin_object().key("a").begin_array().integer(1).text("two\n").begin_array().end_array().end_array();
  out.key("b").text("x").end_object();
  const std::string good = out.take();
  const auto read_all = [](std::string_view text) {
    auto walk = JsonView{text}.at("a").elements();
    (void)walk.need().integer();
    (void)walk.need().text();
    (void)walk.need().elements().next();
    (void)JsonView{text}.at("b").text();
  };
  read_all(good);
  int refused = 0;
  for (std::size_t at = 0; at < good.size(); ++at)
    for (int c = 0; c < 256; ++c) {
      std::string bad = good;
      bad[at] = static_cast<char>(c);
      try {
        read_all(bad);
        read_all(std::string_view{bad}.substr(0, at));
      } catch (const Error& error) {
        EXPECT_EQ(error.family(), ErrorFamily::data);
        ++refused;
      }
    }
  EXPECT_GT(refused, 1000);
  EXPECT_THROW((void)JsonView{std::string(100000, '[')}.elements().next(), Error);
}

}  // namespace
}  // namespace sherdmark
