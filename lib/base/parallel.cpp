#include "sherdmark/base/parallel.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace sherdmark {

unsigned worker_count() { return std::max(1U, std::thread::hardware_concurrency()); }

void for_each_index(std::size_t count, unsigned workers, const std::function<void(std::size_t)>& act) {
  std::atomic<std::size_t> next{0};
  std::atomic<bool> stopped{false};
  std::exception_ptr problem;
  std::mutex mutex;
  const auto work = [&] {
    for (;;) {
      const std::size_t index = next.fetch_add(1);
      if (index >= count || stopped) return;
      try {
        act(index);
      } catch (...) {
        const std::lock_guard lock{mutex};
        if (!problem) problem = std::current_exception();
        stopped = true;
      }
    }
  };
  const std::size_t wanted = std::min<std::size_t>(workers == 0 ? worker_count() : workers, count);
  std::vector<std::jthread> threads;
  for (std::size_t i = 1; i < wanted; ++i) threads.emplace_back(work);
  work();
  threads.clear();  // joins
  if (problem) std::rethrow_exception(problem);
}

}  // namespace sherdmark
