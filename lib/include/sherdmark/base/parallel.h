// Work spread over threads. Callable from every layer that has many independent things to do (images of a folder).
#pragma once

#include <cstddef>
#include <functional>

namespace sherdmark {

// Threads worth starting: what the machine has, at least 1.
[[nodiscard]] unsigned worker_count();

// Calls act(0) … act(count-1), each once, on up to `workers` threads (0: worker_count()); returns when all are done.
// The first exception stops the handing out of further work and is thrown here, after every thread has ended.
void for_each_index(std::size_t count, unsigned workers, const std::function<void(std::size_t)>& act);

}  // namespace sherdmark
