#include "ledger/killed_process.h"

#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <csignal>
#include <cstring>
#include <fstream>
#include <stdexcept>
#include <thread>

namespace sherdmark::testing {
namespace {

// No error's words begin with it.
constexpr char k_confirmed = '\x06';

}  // namespace

Killed kill_during(const std::function<void(const std::function<void()>&)>& work, SeededRandom& moments,
                   std::uint64_t longest_us) {
  int ends[2];
  if (::pipe(ends) != 0) throw std::runtime_error("no pipe");
  const pid_t child = ::fork();
  if (child < 0) throw std::runtime_error("no child process");
  if (child == 0) {
    try {
      (void)!::write(ends[1], "o", 1);
      work([&] { (void)!::write(ends[1], &k_confirmed, 1); });
    } catch (const std::exception& error) {
      (void)!::write(ends[1], error.what(), std::strlen(error.what()));
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
  // After the first character that is no confirmation the rest is the words of an error.
  while (::read(ends[0], &said, 1) == 1) {
    if (said == k_confirmed && killed.error.empty()) {
      ++killed.confirmed;
    } else {
      killed.error += said;
    }
  }
  ::close(ends[0]);
  EXPECT_EQ(killed.error, "") << "the child failed by itself";
  return killed;
}

std::uint64_t undisturbed_us(const std::function<void()>& work) {
  const auto begin = std::chrono::steady_clock::now();
  work();
  const auto took = std::chrono::steady_clock::now() - begin;
  return static_cast<std::uint64_t>(std::chrono::duration_cast<std::chrono::microseconds>(took).count()) + 1;
}

bool was_cut_off(const std::filesystem::path& ledger) {
  constexpr std::streamsize k_header_bytes = 28;
  std::ifstream journal{ledger.string() + "-journal", std::ios::binary};
  std::array<char, k_header_bytes> header{};
  journal.read(header.data(), k_header_bytes);
  return std::any_of(header.begin(), header.end(), [](char byte) { return byte != 0; });
}

}  // namespace sherdmark::testing
