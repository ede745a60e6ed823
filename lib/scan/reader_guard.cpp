#include "scan/reader_guard.h"

#include <csetjmp>
#include <cstdio>
#include <cstdlib>

namespace sherdmark {
namespace {

// Where a failed assertion leads back to, while this thread is in the reader.
thread_local std::jmp_buf* way_out = nullptr;

struct Guard {
  explicit Guard(std::jmp_buf& here) { way_out = &here; }
  ~Guard() { way_out = nullptr; }
  Guard(const Guard&) = delete;
  Guard& operator=(const Guard&) = delete;
  Guard(Guard&&) = delete;
  Guard& operator=(Guard&&) = delete;
};

}  // namespace

bool guarded(const std::function<void()>& read) {
  std::jmp_buf here;
  const Guard guard{here};
  if (setjmp(here) != 0) return false;
  read();
  return true;
}

}  // namespace sherdmark

// What a failed assertion calls in glibc, of which this takes the place.
// NOLINTBEGIN(bugprone-reserved-identifier): the name is glibc's.
extern "C" [[noreturn]] void __assert_fail(const char* assertion, const char* file, unsigned line,
                                           const char* function) noexcept;
void __assert_fail(const char* assertion, const char* file, unsigned line, const char* function) noexcept {
  if (sherdmark::way_out != nullptr) std::longjmp(*sherdmark::way_out, 1);
  std::fprintf(stderr, "%s:%u: %s: assertion \"%s\" failed.\n", file, line, function, assertion);
  std::abort();
}
// NOLINTEND(bugprone-reserved-identifier)
