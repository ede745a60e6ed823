// Processor time of the calling thread: budgets measured by it mean the same on a busy machine and on an idle one.
#pragma once

#include <ctime>

namespace sherdmark {

[[nodiscard]] inline double thread_time_ms() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) * 1e3 + static_cast<double>(now.tv_nsec) / 1e6;
}

}  // namespace sherdmark
