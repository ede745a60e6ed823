#include "sherdmark/base/error.h"

#include <gtest/gtest.h>

namespace sherdmark {
namespace {

TEST(Error, says_what_is_wrong_where_and_what_to_do) {
  EXPECT_STREQ(data_error("the count is 0.", {.file = "log.csv", .row = 3, .column = 2}, "Write 1 or more.").what(),
               "log.csv, row 3, column 2: the count is 0. Write 1 or more.");
  EXPECT_STREQ(usage_error("no file was named.", "Name one.").what(), "no file was named. Name one.");
  EXPECT_STREQ(environment_error("the disk is full.", {.file = "a.pdf", .offset = 10, .page = 2}, "").what(),
               "a.pdf, page 2, byte 10: the disk is full.");
}

// docs/formats/exit-codes.md: fixed for ever.
TEST(Error, each_family_has_its_exit_code) {
  EXPECT_EQ(usage_error("", "").exit_code(), 2);
  EXPECT_EQ(data_error("", {}, "").exit_code(), 3);
  EXPECT_EQ(environment_error("", {}, "").exit_code(), 4);
  EXPECT_EQ(internal_error("").exit_code(), 70);
}

TEST(Error, a_file_name_is_one_line_whatever_it_holds) {
  EXPECT_EQ(describe({.file = "a\nb\x1B[2J.csv", .row = 3}), "a\\u{000A}b\\u{001B}[2J.csv, row 3");
}

TEST(Error, an_empty_place_is_an_empty_text) { EXPECT_EQ(describe({}), ""); }

}  // namespace
}  // namespace sherdmark
