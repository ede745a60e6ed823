#include "sherdmark/base/parallel.h"

#include <gtest/gtest.h>

#include <atomic>
#include <future>
#include <memory>
#include <stdexcept>
#include <thread>
#include <vector>

#ifdef __linux__
#include <sched.h>
#endif

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

TEST(Beside, the_result_comes_from_another_thread_once_for_all_who_ask) {
  std::atomic<int> done{0};
  std::thread::id worker;
  std::promise<void> begun;
  Beside<std::unique_ptr<int>> beside{[&] {
    worker = std::this_thread::get_id();
    begun.set_value();
    ++done;
    return std::make_unique<int>(7);
  }};
  begun.get_future().wait();  // before it is asked for: so by the thread
  EXPECT_EQ(*beside.get(), 7);
  EXPECT_NE(worker, std::this_thread::get_id());
  for_each_index(8, 4, [&](std::size_t) { EXPECT_EQ(*beside.get(), 7); });
  const std::unique_ptr<int> taken = std::move(beside.get());
  EXPECT_EQ(*taken, 7);
  EXPECT_EQ(done, 1);
}

TEST(Beside, without_a_thread_it_is_done_by_whoever_asks) {
  std::thread::id worker;
  const Beside<int> beside{[&worker] {
                             worker = std::this_thread::get_id();
                             return 1;
                           },
                           false};
  EXPECT_EQ(worker, std::thread::id{});
  EXPECT_EQ(beside.get(), 1);
  EXPECT_EQ(worker, std::this_thread::get_id());
}

TEST(Beside, what_it_throws_is_thrown_to_everyone_who_asks) {
  for (const bool on_a_thread : {true, false}) {
    const Beside<int> beside{[]() -> int { throw std::runtime_error("no such font"); }, on_a_thread};
    EXPECT_THROW((void)beside.get(), std::runtime_error);
    EXPECT_THROW((void)beside.get(), std::runtime_error);
  }
}

TEST(Beside, nobody_need_ask) {
  std::atomic<int> done{0};
  {
    const Beside<int> beside{[&done] { return ++done; }};
  }
  EXPECT_EQ(done, 1);
}

#ifdef __linux__
TEST(ThreadBeside, it_may_use_every_processor_that_its_starter_may) {
  cpu_set_t own{}, of_thread{};
  ASSERT_EQ(::sched_getaffinity(0, sizeof own, &own), 0);
  {
    const ThreadBeside thread{[&of_thread] { (void)::sched_getaffinity(0, sizeof of_thread, &of_thread); }};
  }
  EXPECT_TRUE(CPU_EQUAL(&own, &of_thread));
}
#endif

}  // namespace
}  // namespace sherdmark
