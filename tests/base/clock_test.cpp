#include "sherdmark/base/clock.h"

#include <gtest/gtest.h>

#include "sherdmark/base/error.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

TEST(Clock, times_are_written_as_rfc_3339_in_utc) {
  EXPECT_EQ(format_time(TimePoint{std::chrono::seconds{0}}), "1970-01-01T00:00:00Z");
  EXPECT_EQ(format_time(TimePoint{std::chrono::seconds{951'827'696}}), "2000-02-29T12:34:56Z");
  EXPECT_EQ(format_time(TimePoint{std::chrono::seconds{-1}}), "1969-12-31T23:59:59Z");
  EXPECT_EQ(time_in_words("2031-05-04T13:45:10Z"), "2031-05-04 13:45 UTC");
  EXPECT_EQ(time_in_words("2031-05-04"), "2031-05-04");
  EXPECT_EQ(time_in_words(""), "");
}

TEST(Clock, agrees_with_the_system_date_program) {
  for (const std::int64_t seconds : {1LL, 951'782'400LL, 1'709'164'800LL, 4'102'444'799LL}) {
    const testing::RunResult judge =
        testing::run({"date", "-u", "-d", "@" + std::to_string(seconds), "+%Y-%m-%dT%H:%M:%SZ"});
    ASSERT_EQ(judge.exit_code, 0) << judge.err;
    EXPECT_EQ(format_time(TimePoint{std::chrono::seconds{seconds}}) + "\n", judge.out);
  }
}

TEST(Clock, what_was_written_is_read_back) {
  for (std::int64_t seconds = 0; seconds < 4'000'000'000; seconds += 12'345'678) {
    const TimePoint time{std::chrono::seconds{seconds}};
    EXPECT_EQ(parse_time(format_time(time)), time);
  }
}

class NotATime : public ::testing::TestWithParam<const char*> {};

TEST_P(NotATime, is_refused_with_the_form_to_write) {
  try {
    (void)parse_time(GetParam());
    FAIL() << "accepted " << GetParam();
  } catch (const Error& error) {
    EXPECT_EQ(error.exit_code(), 3);
    EXPECT_EQ(error.remedy(), "Write it like 2031-05-04T13:45:10Z.");
  }
}

INSTANTIATE_TEST_SUITE_P(Forms, NotATime,
                         ::testing::Values("", "2031-05-04", "2031-05-04 13:45:10Z", "2031-05-04T13:45:10",
                                           "2031-05-04T13:45:10+00:00", "2031-02-29T13:45:10Z", "2031-13-01T00:00:00Z",
                                           "2031-05-04T24:00:00Z", "2031-05-04T13:60:00Z", "2031-05-04T13:45:60Z",
                                           "+031-05-04T13:45:10Z", "2031-05-04T-1:45:10Z", "2031-05-04T13:45:10Z "));

}  // namespace
}  // namespace sherdmark
