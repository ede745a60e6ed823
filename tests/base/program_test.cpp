// Other programs under bounds. Judged by small programs every system has (cat, sh, sleep, yes: POSIX utilities).
#include "sherdmark/base/program.h"

#include <gtest/gtest.h>

#include <chrono>
#include <thread>

namespace sherdmark {
namespace {

std::span<const std::byte> bytes_of(std::string_view text) { return std::as_bytes(std::span{text}); }

TEST(Program, gets_its_input_and_tells_its_output_its_complaints_and_its_exit_code) {
  const std::string megabytes(3'000'000, 'x');
  const ProgramResult copied = run_program({"cat", "-"}, bytes_of(megabytes));
  EXPECT_TRUE(copied.good());
  EXPECT_EQ(copied.out, megabytes);
  const ProgramResult failed = run_program({"sh", "-c", "echo out; echo bad >&2; exit 7"}, {});
  EXPECT_EQ(failed.end, ProgramEnd::finished);
  EXPECT_EQ(failed.exit_code, 7);
  EXPECT_EQ(failed.out, "out\n");
  EXPECT_EQ(failed.err, "bad\n");
}

TEST(Program, arguments_go_to_it_as_they_are) {
  EXPECT_EQ(run_program({"printf", "%s", "$(touch here); `x` \n 'y'"}, {}).out, "$(touch here); `x` \n 'y'");
}

TEST(Program, that_is_not_installed_is_told_from_one_that_fails) {
  EXPECT_EQ(run_program({"no-such-program-anywhere"}, {}).end, ProgramEnd::missing);
  EXPECT_EQ(run_program({"false"}, {}).end, ProgramEnd::finished);
}

TEST(Program, is_stopped_when_its_time_is_over_whether_it_works_sleeps_or_hides) {
  ProgramLimits limits;
  limits.most_seconds = 0.2;
  for (const char* script : {"while :; do :; done", "sleep 60", "exec >&- 2>&-; exec sleep 60"}) {
    const auto start = std::chrono::steady_clock::now();
    EXPECT_EQ(run_program({"sh", "-c", script}, {}, limits).end, ProgramEnd::out_of_time) << script;
    EXPECT_LT(std::chrono::steady_clock::now() - start, std::chrono::seconds{30}) << script;
  }
}

TEST(Program, is_stopped_when_it_says_too_much) {
  ProgramLimits limits;
  limits.most_output_bytes = 1000;
  const ProgramResult result = run_program({"yes"}, {}, limits);
  EXPECT_EQ(result.end, ProgramEnd::too_much_output);
  EXPECT_EQ(result.out.size(), 1000U);
}

TEST(Program, that_is_ended_by_a_signal_is_no_success) {
  EXPECT_EQ(run_program({"sh", "-c", "kill -SEGV $$"}, {}).end, ProgramEnd::died);
}

TEST(Program, cannot_take_more_memory_than_it_is_given) {
  ProgramLimits limits;
  limits.most_memory_bytes = std::uint64_t{64} << 20U;
  EXPECT_FALSE(run_program({"sh", "-c",
                            "head -c 200000000 /dev/zero | tail -n 1 | wc -c >/dev/null; x=$(head -c "
                            "200000000 /dev/zero | tr '\\0' x); test ${#x} -eq 200000000"},
                           {}, limits)
                   .good());
}

TEST(Program, many_can_run_at_once_from_several_threads) {
  std::vector<std::thread> threads;
  std::vector<std::string> heard(8);
  for (std::size_t i = 0; i < heard.size(); ++i)
    threads.emplace_back([&heard, i] { heard[i] = run_program({"cat"}, bytes_of(std::to_string(i))).out; });
  for (std::thread& thread : threads) thread.join();
  for (std::size_t i = 0; i < heard.size(); ++i) EXPECT_EQ(heard[i], std::to_string(i));
}

}  // namespace
}  // namespace sherdmark
