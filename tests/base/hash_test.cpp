#include "sherdmark/base/hash.h"

#include <gtest/gtest.h>

#include <ostream>

#include "support/test_support.h"

namespace sherdmark {
namespace {

struct Row {
  std::string message;
  std::string digest;
};

void PrintTo(const Row& row, std::ostream* out) { *out << row.message.size() << " bytes"; }

class Sha256 : public ::testing::TestWithParam<Row> {};

TEST_P(Sha256, gives_the_published_digest) { EXPECT_EQ(sha256_hex(GetParam().message), GetParam().digest); }

// FIPS 180-4 example messages (the digests are from memory; the test below has a second program agree).
INSTANTIATE_TEST_SUITE_P(FipsExamples, Sha256,
                         ::testing::Values(Row{"abc",
                                               "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
                                           Row{"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
                                           Row{"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
                                               "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
                                           Row{std::string(1'000'000, 'a'),
                                               "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"}));

TEST(Sha256, agrees_with_sha256sum_over_every_byte_value) {
  std::string message;
  for (int i = 0; i < 256; ++i) message.push_back(static_cast<char>(i));
  const testing::RunResult judge = testing::run({"sha256sum"}, message);
  ASSERT_EQ(judge.exit_code, 0) << judge.err;
  EXPECT_EQ(sha256_hex(message), judge.out.substr(0, 64));
}

}  // namespace
}  // namespace sherdmark
