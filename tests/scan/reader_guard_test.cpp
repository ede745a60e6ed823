#include "scan/reader_guard.h"

#include <gtest/gtest.h>

#include <stdexcept>

#include "sherdmark/base/files.h"
#include "sherdmark/scan/codes.h"
#include "sherdmark/scan/image.h"
#include "support/test_support.h"

// What a failed assertion calls in glibc.
extern "C" void __assert_fail(const char* assertion, const char* file, unsigned line, const char* function) noexcept;

namespace sherdmark {
namespace {

TEST(ReaderGuard, a_failed_assertion_in_the_reader_is_no_end_of_the_program) {
  EXPECT_TRUE(guarded([] {}));
  for (int i = 0; i < 3; ++i) EXPECT_FALSE(guarded([] { __assert_fail("cur.isBlack()", "QRDetector.cpp", 174, "f"); }));
  EXPECT_TRUE(guarded([] {}));
}

TEST(ReaderGuard, exceptions_pass_and_leave_no_way_back) {
  EXPECT_THROW((void)guarded([] { throw std::runtime_error("no"); }), std::runtime_error);
  EXPECT_DEATH(__assert_fail("true == false", "elsewhere.cpp", 1, "g"), "elsewhere.cpp:1: g: assertion");
}

// A folded symbol, drawn: ZXing-cpp 1.4 of Debian 12 fails an assertion of its own on it.
TEST(ReaderGuard, the_folded_symbol_that_ended_the_program_once_is_looked_at_to_the_end) {
  const auto file = testing::test_data("scan/corpus/fold_that_fails_an_assertion.png");
  const Bytes bytes = real_file_system().read(file, std::size_t{1} << 20U);
  const auto pages = read_image(bytes, file.string());
  ASSERT_EQ(pages.size(), 1U);
  EXPECT_LE(read_codes(pages.front().grey.view()).size(), 1U);
}

}  // namespace
}  // namespace sherdmark
