#include "scan/crowded_view.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "scan/row_runs.h"

namespace sherdmark {
namespace {

constexpr int k_most_patterns = 60;
constexpr double k_least_pattern_px = 7.0;  // a pixel a module
constexpr int k_row_step = 3;               // the dark middle is three modules high
constexpr double k_most_off_px = 0.5;       // and half a module

bool in_ratio(const Runs& runs) {
  const double module = total(runs) / 7;
  if (module < 1) return false;
  for (std::size_t i = 0; i < runs.size(); ++i)
    if (std::abs(runs[i] - k_finder_modules[i] * module) > module / 2 + k_most_off_px) return false;
  return true;
}

// Lengths of the runs on a line through a dark pixel, in steps along it.
struct Line {
  Runs runs{};
  int first_dark = 0;  // of the middle run, in steps from the pixel, none or negative
  int last_dark = 0;
};

class Counter {
 public:
  explicit Counter(const GreyView& picture)
      : picture_(picture), taken_to_(static_cast<std::size_t>(picture.width_px), -1) {}

  bool finds_more_than(int most) {
    for (int y = 0; y < picture_.height_px; y += k_row_step) {
      look_along(y);
      if (count_ > most) return true;
    }
    return false;
  }

 private:
  void look_along(int y) {
    for_each_dark_run(picture_, y, [&](const Runs& runs, int, std::size_t end) {
      if (in_ratio(runs)) consider(static_cast<int>(middle_of(runs, end)), y, total(runs));
    });
  }

  // Once for each pattern, however many rows pass through it. Seen from its middle it is the same in four directions.
  void consider(int x, int y, double width) {
    if (y <= taken_to_[static_cast<std::size_t>(x)]) return;
    const Line down = line_through(x, y, 0, 1, width);
    if (!in_ratio(down.runs)) return;
    const int middle = y + (down.first_dark + down.last_dark) / 2;
    for (const int slope : {1, -1})
      if (!in_ratio(line_through(x, middle, 1, slope, width).runs)) return;
    ++count_;
    const int half = static_cast<int>(width / 2);
    const int end = std::min(picture_.width_px - 1, x + half);
    for (int near = std::max(0, x - half); near <= end; ++near)
      taken_to_[static_cast<std::size_t>(near)] = middle + half;
  }

  [[nodiscard]] bool dark(int x, int y) const { return picture_.at(x, y) == 0; }

  // Out of the middle, over the light square, over the dark one, to both sides.
  [[nodiscard]] Line line_through(int x, int y, int dx, int dy, double longest) const {
    Line line;
    for (const int sign : {-1, 1}) {
      int at = sign < 0 ? 0 : 1;  // steps from the pixel
      for (int part = 0; part < 3; ++part) {
        const int start = at;
        while (at <= longest && inside(x + sign * at * dx, y + sign * at * dy) &&
               dark(x + sign * at * dx, y + sign * at * dy) == (part != 1))
          ++at;
        line.runs[static_cast<std::size_t>(2 + sign * part)] += at - start;
        if (part == 0) (sign < 0 ? line.first_dark : line.last_dark) = sign * (at - 1);
      }
    }
    return line;
  }

  [[nodiscard]] bool inside(int x, int y) const {
    return x >= 0 && y >= 0 && x < picture_.width_px && y < picture_.height_px;
  }

  const GreyView& picture_;
  std::vector<int> taken_to_;  // of each column: the last row that a counted pattern takes up
  int count_ = 0;
};

}  // namespace

bool is_crowded(const GreyView& two_tone) {
  const double room = static_cast<double>(two_tone.width_px) * two_tone.height_px;
  if (room < k_most_patterns * k_least_pattern_px * k_least_pattern_px) return false;
  return Counter{two_tone}.finds_more_than(k_most_patterns);
}

}  // namespace sherdmark
