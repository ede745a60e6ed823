// Runs of dark and light pixels along a line, five after one another: what finder patterns (ISO/IEC 18004) are known
// by. Private to the layer.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <cstring>

#include "sherdmark/base/picture.h"

namespace sherdmark {

inline constexpr std::array k_finder_modules = {1.0, 1.0, 3.0, 1.0, 1.0};  // a finder pattern through its middle

using Runs = std::array<double, 5>;

inline double total(const Runs& runs) { return runs[0] + runs[1] + runs[2] + runs[3] + runs[4]; }

// Calls `look(runs, known, end)` at the end of each dark run of row `y`: the last five runs in pixels, the dark one
// last; how many runs there were since the row began, the first of which the border cuts off; and where the dark one
// ends. `two_tone`: 0 dark, 255 light.
template <typename Look>
void for_each_dark_run(const GreyView& two_tone, int y, Look look) {
  const std::uint8_t* row = two_tone.row(y);
  const auto width = static_cast<std::size_t>(two_tone.width_px);
  Runs runs{};
  int known = 0;
  std::size_t x = 0;
  while (x < width) {
    const bool is_dark = row[x] == 0;
    const void* other = std::memchr(row + x, is_dark ? 255 : 0, width - x);
    const std::size_t end =
        other == nullptr ? width : static_cast<std::size_t>(static_cast<const std::uint8_t*>(other) - row);
    std::rotate(runs.begin(), runs.begin() + 1, runs.end());
    runs[4] = static_cast<double>(end - x);
    ++known;
    if (is_dark) look(runs, known, end);
    x = end;
  }
}

// The middle of the five runs that end at `end`.
inline double middle_of(const Runs& runs, std::size_t end) {
  return static_cast<double>(end) - runs[4] - runs[3] - runs[2] / 2;
}

}  // namespace sherdmark
