#include "interrupt.h"

#include <atomic>
#include <csignal>

namespace sherdmark {
namespace {

std::atomic<bool> asked_to_end{false};
static_assert(std::atomic<bool>::is_always_lock_free, "a signal handler sets it");
std::atomic<int> alive{0};

extern "C" void on_interrupt(int) {
  asked_to_end = true;
  (void)std::signal(SIGINT, SIG_DFL);
}

}  // namespace

EndOnInterrupt::EndOnInterrupt() : outermost_(alive++ == 0) {
  if (!outermost_) return;
  asked_to_end = false;
  before_ = std::signal(SIGINT, on_interrupt);
}

EndOnInterrupt::~EndOnInterrupt() {
  --alive;
  if (outermost_) (void)std::signal(SIGINT, before_);
}

bool EndOnInterrupt::asked() { return asked_to_end; }

}  // namespace sherdmark
