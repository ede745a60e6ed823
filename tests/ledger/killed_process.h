// A real process that works and is killed at a random moment; for tests of what its work leaves behind.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>

#include "sherdmark/base/random.h"

namespace sherdmark::testing {

// One child that worked until it was killed, and what it said it had done.
struct Killed {
  int confirmed = 0;
  bool began = false;
  std::string error;  // why the child failed by itself, empty if it did not
};

// Runs `work(confirm)` in a process of its own and kills it after a random time of up to `longest_us`. A child that
// fails by itself fails the test.
Killed kill_during(const std::function<void(const std::function<void()>&)>& work, SeededRandom& moments,
                   std::uint64_t longest_us);

// How long this machine takes for the work undisturbed, in microseconds; kills within that time meet every part of it.
std::uint64_t undisturbed_us(const std::function<void()>& work);

// An act was under way: a journal lies beside the ledger, and its header is not the zeroes of one that is kept between
// acts (the header's 28 bytes: https://www.sqlite.org/fileformat2.html, "The Rollback Journal").
[[nodiscard]] bool was_cut_off(const std::filesystem::path& ledger);

}  // namespace sherdmark::testing
