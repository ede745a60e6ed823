// The third-party reader as Debian builds it has its assertions switched on, and some bent symbols fail them: the whole
// program would end, in the middle of a folder of pictures. Private to the layer.
#pragma once

#include <functional>

namespace sherdmark {

// Calls `read`, in which the reader works; a failed assertion in it leads back here, and false is returned. What the
// reader held then is lost: some memory, seldom. Exceptions pass. Thread-safe, not to be nested. Assertions that fail
// elsewhere end the program as always.
[[nodiscard]] bool guarded(const std::function<void()>& read);

}  // namespace sherdmark
