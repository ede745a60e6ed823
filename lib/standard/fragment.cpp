#include "fragment.h"

#include <algorithm>
#include <tuple>

namespace sherdmark {
namespace {

// What may still follow a prefix of digits: for each count of digits to come, the range their value may have.
struct Ahead {
  int digits = 0;
  std::int64_t from = 0;
  std::int64_t to = 0;
  friend auto operator<=>(const Ahead&, const Ahead&) = default;
};
using Future = std::vector<Ahead>;

std::int64_t power_of_ten(int exponent) {
  std::int64_t value = 1;
  for (int i = 0; i < exponent; ++i) value *= 10;
  return value;
}

int digits_of(std::int64_t value) {
  int digits = 1;
  while (value >= 10) value /= 10, ++digits;
  return digits;
}

// The future after one more digit.
Future after_digit(const Future& future, int digit) {
  Future next;
  for (const Ahead& ahead : future) {
    if (ahead.digits == 0) continue;
    const std::int64_t step = power_of_ten(ahead.digits - 1);
    const std::int64_t from = std::max(ahead.from - digit * step, std::int64_t{0});
    const std::int64_t to = std::min(ahead.to - digit * step, step - 1);
    if (from <= to) next.push_back({ahead.digits - 1, from, to});
  }
  return next;
}

Future whole_range(std::int64_t smallest, std::int64_t largest, int width) {
  Future future;
  for (int digits = width; digits <= std::max(width, digits_of(largest)); ++digits) {
    const std::int64_t least = digits == width ? 0 : power_of_ten(digits - 1);
    const std::int64_t from = std::max(smallest, least);
    const std::int64_t to = std::min(largest, power_of_ten(digits) - 1);
    if (from <= to) future.push_back({digits, from, to});
  }
  return future;
}

}  // namespace

Fragment integer_fragment(std::int64_t smallest, std::int64_t largest, int pad_to_digits) {
  Fragment fragment;
  fragment.integer = true;
  std::map<Future, int> known;
  std::vector<Future> queue{whole_range(smallest, largest, std::max(pad_to_digits, 1))};
  known[queue[0]] = 0;
  for (std::size_t i = 0; i < queue.size(); ++i) {
    Fragment::State state;
    for (const Ahead& ahead : queue[i]) state.accepting = state.accepting || ahead.digits == 0;
    for (int digit = 0; digit <= 9; ++digit) {
      Future next = after_digit(queue[i], digit);
      if (next.empty()) continue;
      const auto [entry, is_new] = known.try_emplace(next, static_cast<int>(queue.size()));
      state.arcs[U'0' + static_cast<char32_t>(digit)] = entry->second;
      if (is_new) queue.push_back(std::move(next));
    }
    fragment.states.push_back(std::move(state));
  }
  return fragment;
}

Fragment repeat_fragment(std::u32string_view alphabet, int shortest, int longest) {
  Fragment fragment;
  for (int length = 0; length <= longest; ++length) {
    Fragment::State state;
    state.accepting = length >= shortest;
    if (length < longest)
      for (const char32_t character : alphabet) state.arcs[character] = length + 1;
    fragment.states.push_back(std::move(state));
  }
  return fragment;
}

Fragment choice_fragment(const std::vector<std::u32string>& choices) {
  Fragment fragment;
  fragment.states.emplace_back();
  for (const std::u32string& choice : choices) {
    int at = 0;
    for (const char32_t character : choice) {
      const int fresh = static_cast<int>(fragment.states.size());
      const auto [entry, is_new] = fragment.states[static_cast<std::size_t>(at)].arcs.try_emplace(character, fresh);
      at = entry->second;
      if (is_new) fragment.states.emplace_back();
    }
    fragment.states[static_cast<std::size_t>(at)].accepting = true;
  }
  return fragment;
}

}  // namespace sherdmark
