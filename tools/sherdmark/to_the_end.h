// What a command leaves to the end of the process.
#pragma once

#include <deque>
#include <utility>

namespace sherdmark {

// Keeps a value for good, and never takes it apart: for what a program holds until it ends anyway. A hundred thousand
// rows of a catalog taken apart one by one are a twenty-fifth of their intake. Not for threads.
template <typename Value>
[[nodiscard]] Value& keep_to_the_end(Value value) {
  static auto& kept = *new std::deque<Value>;
  return kept.emplace_back(std::move(value));
}

}  // namespace sherdmark
