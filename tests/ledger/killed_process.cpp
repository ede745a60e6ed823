#include "ledger/killed_process.h"

#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <stdexcept>
#include <thread>

namespace sherdmark::testing {

Killed kill_during(const std::function<void(const std::function<void()>&)>& work, SeededRandom& moments,
                   std::uint64_t longest_us) {
  int ends[2];
  if (::pipe(ends) != 0) throw std::runtime_error("no pipe");
  const pid_t child = ::fork();
  if (child < 0) throw std::runtime_error("no child process");
  if (child == 0) {
    try {
      (void)!::write(ends[1], "o", 1);
      work([&] { (void)!::write(ends[1], "c", 1); });
    } catch (const std::exception& error) {
      (void)!::write(ends[1], "!", 1);
    }
    ::pause();
  }
  ::close(ends[1]);
  Killed killed;
  char said = 0;
  killed.began = ::read(ends[0], &said, 1) == 1;
  std::this_thread::sleep_for(std::chrono::microseconds{moments.below(longest_us)});
  ::kill(child, SIGKILL);
  ::waitpid(child, nullptr, 0);
  while (::read(ends[0], &said, 1) == 1) {
    EXPECT_EQ(said, 'c') << "the child failed by itself";
    ++killed.confirmed;
  }
  ::close(ends[0]);
  return killed;
}

}  // namespace sherdmark::testing
