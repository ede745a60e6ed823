// Work spread over threads. Callable from every layer that has many independent things to do (images of a folder).
#pragma once

#include <cstddef>
#include <exception>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <utility>

namespace sherdmark {

// Threads worth starting: what the machine has, at least 1.
[[nodiscard]] unsigned worker_count();

// Calls act(0) … act(count-1), each once, on up to `workers` threads (0: worker_count()); returns when all are done.
// The first exception stops the handing out of further work and is thrown here, after every thread has ended.
void for_each_index(std::size_t count, unsigned workers, const std::function<void(std::size_t)>& act);

// A thread that does one thing; it is waited for where this is destroyed. It begins on another processor than the one
// that starts it, wherever the program may use several, and may go to any of them then: left to itself, Linux (seen
// with 6.18) may keep a new thread behind the one that started it for 20 ms while another processor has nothing to do.
// `act` must not throw. Throws std::system_error when the system starts no thread.
class ThreadBeside {
 public:
  explicit ThreadBeside(std::function<void()> act);
  ~ThreadBeside();
  ThreadBeside(ThreadBeside&&) noexcept;
  ThreadBeside& operator=(ThreadBeside&&) = delete;
  ThreadBeside(const ThreadBeside&) = delete;
  ThreadBeside& operator=(const ThreadBeside&) = delete;

 private:
  struct Running;
  std::unique_ptr<Running> running_;
};

// Nothing where the system starts no further thread.
[[nodiscard]] std::optional<ThreadBeside> thread_if_any(std::function<void()> act);

// What `act` gives, worked out beside what the caller does; without a thread, or before it has begun, by whoever asks
// for it first. Thread-safe.
template <typename Result>
class Beside {
 public:
  explicit Beside(std::function<Result()> act, bool on_a_thread = true)
      : work_{std::make_unique<Work>(std::move(act))},
        thread_{on_a_thread ? thread_if_any([work = work_.get()] { work->do_once(); }) : std::nullopt} {}

  // Waits for it. Throws what `act` threw, every time.
  [[nodiscard]] Result& get() const {
    work_->do_once();
    if (work_->problem) std::rethrow_exception(work_->problem);
    return *work_->result;
  }

 private:
  struct Work {
    explicit Work(std::function<Result()> given) : act{std::move(given)} {}
    std::function<Result()> act;
    std::once_flag once{};
    std::optional<Result> result{};
    std::exception_ptr problem{};

    void do_once() {
      std::call_once(once, [this] {
        try {
          result.emplace(act());
        } catch (...) {
          problem = std::current_exception();
        }
      });
    }
  };

  std::unique_ptr<Work> work_;
  std::optional<ThreadBeside> thread_;  // ends before the work it does
};

}  // namespace sherdmark
