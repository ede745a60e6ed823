#include "sherdmark/base/parallel.h"

#include <gtest/gtest.h>

#include <atomic>
#include <stdexcept>
#include <vector>

namespace sherdmark {
namespace {

TEST(Parallel, every_piece_of_work_is_done_once_whatever_the_number_of_workers) {
  for (const unsigned workers : {0U, 1U, 2U, 7U}) {
    std::vector<std::atomic<int>> done(1000);
    for_each_index(done.size(), workers, [&](std::size_t i) { ++done[i]; });
    for (const auto& count : done) EXPECT_EQ(count, 1);
  }
}

TEST(Parallel, no_work_is_fine) {
  for_each_index(0, 4, [](std::size_t) { FAIL() << "called"; });
}

TEST(Parallel, the_first_failure_comes_out_and_stops_the_rest) {
  std::atomic<int> done{0};
  EXPECT_THROW(for_each_index(100'000, 3,
                              [&](std::size_t i) {
                                if (i == 10) throw std::runtime_error("bad image");
                                ++done;
                              }),
               std::runtime_error);
  EXPECT_LT(done, 100'000);
}

}  // namespace
}  // namespace sherdmark
