// Another program, run with bounds: for work on hostile files that must not take this one down with it. Source of the
// calls: POSIX.1-2017 fork, execve, setrlimit, waitpid; memfd_create and prctl of Linux.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace sherdmark {

struct ProgramLimits {
  double most_seconds = 20;  // on the clock, from its start
  std::uint64_t most_memory_bytes = std::uint64_t{3} << 30U;
  std::size_t most_output_bytes = std::size_t{1} << 30U;  // of its standard output
};

enum class ProgramEnd {
  finished,         // it ended by itself: see the exit code
  missing,          // no such program on the PATH
  out_of_time,      // stopped
  too_much_output,  // stopped
  died,             // a signal ended it: memory ran out, or it crashed
};

struct ProgramResult {
  ProgramEnd end = ProgramEnd::finished;
  int exit_code = 0;
  std::string out;
  std::string err;  // its first 64 KiB

  [[nodiscard]] bool good() const { return end == ProgramEnd::finished && exit_code == 0; }
};

// `command`: the program's name, then its arguments; no shell is between. `input`: what it finds as its standard input,
// a file that it can seek in. It runs with LC_ALL=C, without core files, apart from the terminal's signals, and ends
// when the calling thread does. Thread-safe. Throws environment_error when no process can be made.
[[nodiscard]] ProgramResult run_program(const std::vector<std::string>& command, std::span<const std::byte> input,
                                        const ProgramLimits& limits = {});

}  // namespace sherdmark
