// Time is passed in, so that tests and byte-identical output can fix it.
#pragma once

#include <chrono>
#include <string>
#include <string_view>

namespace sherdmark {

using TimePoint = std::chrono::sys_seconds;

class Clock {
 public:
  virtual ~Clock() = default;
  [[nodiscard]] virtual TimePoint now() = 0;
};

class SystemClock final : public Clock {
 public:
  [[nodiscard]] TimePoint now() override;
};

class FixedClock final : public Clock {
 public:
  explicit FixedClock(TimePoint time) : time_(time) {}
  [[nodiscard]] TimePoint now() override { return time_; }
  void set(TimePoint time) { time_ = time; }

 private:
  TimePoint time_;
};

// "2031-05-04T13:45:10Z" (RFC 3339, UTC).
[[nodiscard]] std::string format_time(TimePoint time);
// A stored time as people read it: to the minute, "2031-05-04 13:45 UTC". Any other text comes back as it is.
[[nodiscard]] std::string time_in_words(std::string_view stored);
// Inverse of format_time. Throws data_error on any other form.
[[nodiscard]] TimePoint parse_time(const std::string& text);

}  // namespace sherdmark
