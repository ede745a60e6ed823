// Words that are nearly the same are told from words that are not.
#include "sherdmark/base/nearness.h"

#include <gtest/gtest.h>

#include <string>

namespace sherdmark {
namespace {

struct Row {
  std::string a;
  std::string b;
  std::size_t apart;
};

TEST(Nearness, counts_letters_put_in_taken_out_and_changed) {
  const Row rows[] = {{"", "", 0},
                      {"", "plan", 4},
                      {"plan", "plan", 0},
                      {"label", "labels", 1},
                      {"printd", "printed", 1},
                      {"chekc", "check", 2},
                      {"Plan", "plan", 1},
                      {"kitten", "sitting", 3}};
  for (const Row& row : rows) {
    EXPECT_EQ(letters_apart(row.a, row.b), row.apart) << row.a << " " << row.b;
    EXPECT_EQ(letters_apart(row.b, row.a), row.apart) << row.b << " " << row.a;
  }
}

}  // namespace
}  // namespace sherdmark
