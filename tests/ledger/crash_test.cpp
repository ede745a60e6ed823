// A process killed at any moment of an intake: the ledger opens, nothing is half-done, nothing confirmed is lost.
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <thread>

#include "ledger/ledger_samples.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

using testing::FreshLedger;

constexpr int k_rounds = 20;
constexpr int k_rows_a_batch = 3000;

std::vector<CatalogRow> batch(const HouseStandard& standard, int number) {
  std::vector<CatalogRow> rows;
  for (int i = 1; i <= k_rows_a_batch; ++i) {
    const std::string lot = std::to_string(number * 5 + 1 + i / 700);
    rows.push_back(testing::in_bags(testing::row(standard, "16ZQ5/" + lot + "." + std::to_string(i), "stone", i),
                                    {{"M" + std::to_string(number) + "-" + std::to_string(i), {}}}));
  }
  return rows;
}

// Takes in one batch after another and says over the pipe which are confirmed, until it is killed.
[[noreturn]] void take_in_for_ever(const std::filesystem::path& file, FreshLedger& fresh, int first, int confirmed) {
  Ledger ledger = Ledger::open(file, FreshLedger::access(), fresh.clock, fresh.random);
  const Actor ana = ledger.actor("Ana Quill");
  (void)!::write(confirmed, "o", 1);
  for (int number = first;; ++number) {
    (void)testing::take_in(ledger, ana, batch(fresh.standard, number));
    (void)!::write(confirmed, "b", 1);
  }
}

TEST(Crash, a_process_killed_during_intake_leaves_a_whole_ledger_and_every_confirmed_batch) {
  FreshLedger fresh;
  fresh.close();
  SeededRandom moments{99};
  int batches = 0;
  int killed_in_the_middle = 0;
  for (int round = 0; round < k_rounds; ++round) {
    int pipe_ends[2];
    ASSERT_EQ(::pipe(pipe_ends), 0);
    const pid_t child = ::fork();
    ASSERT_GE(child, 0);
    if (child == 0) take_in_for_ever(fresh.file(), fresh, batches, pipe_ends[1]);
    ::close(pipe_ends[1]);
    char said = 0;
    ASSERT_EQ(::read(pipe_ends[0], &said, 1), 1) << "the child could not open the ledger";
    std::this_thread::sleep_for(std::chrono::microseconds{moments.below(150000)});
    ::kill(child, SIGKILL);
    ::waitpid(child, nullptr, 0);
    int confirmed = batches;
    while (::read(pipe_ends[0], &said, 1) == 1) ++confirmed;
    ::close(pipe_ends[0]);
    killed_in_the_middle += std::filesystem::exists(fresh.file().string() + "-journal") ? 1 : 0;

    const Ledger ledger = Ledger::open(fresh.file(), FreshLedger::access(), fresh.clock, fresh.random);
    ASSERT_EQ(ledger.notices().size(), 1U) << "it says that it took over";
    const std::int64_t intakes = testing::count_events(ledger) - 1;
    ASSERT_GE(intakes, confirmed) << "a confirmed batch is lost";
    ASSERT_LE(intakes, confirmed + 1);
    ASSERT_EQ(ledger.bags().size(), static_cast<std::size_t>(intakes) * k_rows_a_batch) << "half a batch";
    batches = static_cast<int>(intakes);
    if (round % 5 == 4) {
      const LedgerVerification found = ledger.verify();
      ASSERT_TRUE(found.good()) << found.problems.front();
    }
  }
  EXPECT_GE(killed_in_the_middle, 3) << "the kills came too early or too late to prove anything";
}

}  // namespace
}  // namespace sherdmark
