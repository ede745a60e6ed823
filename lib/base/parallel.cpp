#include "sherdmark/base/parallel.h"

#include <algorithm>
#include <atomic>
#include <system_error>
#include <thread>
#include <vector>

#ifdef __linux__
#include <pthread.h>
#include <sched.h>
#endif

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
  std::vector<ThreadBeside> threads;
  threads.reserve(wanted);
  for (std::size_t i = 1; i < wanted; ++i) {
    std::optional<ThreadBeside> thread = thread_if_any(work);
    if (!thread) break;  // fewer do it all
    threads.push_back(std::move(*thread));
  }
  work();
  threads.clear();  // joins
  if (problem) std::rethrow_exception(problem);
}

#ifdef __linux__
namespace {

// The processors that the calling thread may use; none where there are more than this can name.
cpu_set_t processors_allowed() {
  cpu_set_t allowed;
  if (::sched_getaffinity(0, sizeof allowed, &allowed) != 0) CPU_ZERO(&allowed);
  return allowed;
}

// For a new thread, where there is a choice: not the one that the caller is on.
class StartElsewhere {
 public:
  explicit StartElsewhere(cpu_set_t allowed) {
    const int here = ::sched_getcpu();
    if (here < 0 || here >= CPU_SETSIZE || CPU_COUNT(&allowed) < 2) return;
    CPU_CLR(here, &allowed);
    made_ = ::pthread_attr_init(&attributes_) == 0;
    if (made_) ::pthread_attr_setaffinity_np(&attributes_, sizeof allowed, &allowed);
  }
  ~StartElsewhere() {
    if (made_) ::pthread_attr_destroy(&attributes_);
  }
  StartElsewhere(const StartElsewhere&) = delete;
  StartElsewhere& operator=(const StartElsewhere&) = delete;
  StartElsewhere(StartElsewhere&&) = delete;
  StartElsewhere& operator=(StartElsewhere&&) = delete;

  [[nodiscard]] const pthread_attr_t* attributes() const { return made_ ? &attributes_ : nullptr; }

 private:
  pthread_attr_t attributes_{};
  bool made_ = false;
};

}  // namespace

struct ThreadBeside::Running {
  explicit Running(std::function<void()> given) : act{std::move(given)} {}
  std::function<void()> act;
  cpu_set_t allowed = processors_allowed();
  pthread_t thread{};

  static void* run(void* given) {
    auto* running = static_cast<Running*>(given);
    if (CPU_COUNT(&running->allowed) > 0)
      (void)::pthread_setaffinity_np(::pthread_self(), sizeof running->allowed, &running->allowed);
    running->act();
    return nullptr;
  }
};

ThreadBeside::ThreadBeside(std::function<void()> act) : running_{std::make_unique<Running>(std::move(act))} {
  const StartElsewhere elsewhere{running_->allowed};
  int problem = ::pthread_create(&running_->thread, elsewhere.attributes(), &Running::run, running_.get());
  if (problem != 0 && elsewhere.attributes() != nullptr)  // a sandbox may forbid the choice of a processor
    problem = ::pthread_create(&running_->thread, nullptr, &Running::run, running_.get());
  if (problem != 0) throw std::system_error{problem, std::generic_category(), "a thread could not be started"};
}

ThreadBeside::~ThreadBeside() {
  if (running_) ::pthread_join(running_->thread, nullptr);
}
#else
struct ThreadBeside::Running {
  explicit Running(std::function<void()> act) : thread{std::move(act)} {}
  std::jthread thread;
};

ThreadBeside::ThreadBeside(std::function<void()> act) : running_{std::make_unique<Running>(std::move(act))} {}

ThreadBeside::~ThreadBeside() = default;
#endif

ThreadBeside::ThreadBeside(ThreadBeside&&) noexcept = default;

std::optional<ThreadBeside> thread_if_any(std::function<void()> act) {
  try {
    return ThreadBeside{std::move(act)};
  } catch (const std::system_error&) {
    return std::nullopt;  // what it was to do is done by whoever waits for it
  }
}

}  // namespace sherdmark
