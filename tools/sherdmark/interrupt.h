// Ctrl-C as a wish to end early, instead of an end in the middle of something.
#pragma once

namespace sherdmark {

// While one lives, the first SIGINT is only remembered; the second ends the program as usual. They may be nested: what
// was asked stays asked until the outermost is gone.
class EndOnInterrupt {
 public:
  EndOnInterrupt();
  ~EndOnInterrupt();
  EndOnInterrupt(const EndOnInterrupt&) = delete;
  EndOnInterrupt& operator=(const EndOnInterrupt&) = delete;
  EndOnInterrupt(EndOnInterrupt&&) = delete;
  EndOnInterrupt& operator=(EndOnInterrupt&&) = delete;

  [[nodiscard]] static bool asked();  // any thread may ask

 private:
  void (*before_)(int) = nullptr;
  bool outermost_ = false;
};

}  // namespace sherdmark
