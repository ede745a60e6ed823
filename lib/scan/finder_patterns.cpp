#include "scan/finder_patterns.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

#include "scan/row_runs.h"

namespace sherdmark {
namespace {

constexpr int k_row_step = 2;
constexpr double k_least_module_px = 1.3;
constexpr double k_most_off = 0.6;             // a run of one module may differ by so many modules
constexpr double k_most_off_middle = 1.1;      // the run of three
constexpr std::size_t k_most_patterns = 2000;  // more are not looked for
constexpr int k_lines = 8;
constexpr int k_least_lines = 7;
constexpr double k_small_module_px = 2;  // below it grain can look like squares: all lines are wanted
constexpr double k_longest_line = 1.6;   // of the mean line, through a square's corners it is 1.41

bool in_ratio(const Runs& runs) {
  const double module = total(runs) / 7;
  for (std::size_t i = 0; i < runs.size(); ++i)
    if (std::abs(runs[i] - k_finder_modules[i] * module) > (i == 2 ? k_most_off_middle : k_most_off) * module)
      return false;
  return true;
}

class Search {
 public:
  explicit Search(const GreyView& picture) : picture_(picture) {}

  std::vector<FinderPattern> run() {
    for (int y = 0; y < picture_.height_px && found_.size() < k_most_patterns; y += k_row_step) look_along(y);
    return std::move(found_);
  }

 private:
  [[nodiscard]] bool inside(double x, double y) const {
    return x >= 0 && y >= 0 && x < picture_.width_px && y < picture_.height_px;
  }
  [[nodiscard]] bool dark(double x, double y) const {
    return picture_.at(static_cast<int>(x), static_cast<int>(y)) == 0;
  }

  void look_along(int y) {
    const auto width = static_cast<std::size_t>(picture_.width_px);
    for_each_dark_run(picture_, y, [&](const Runs& runs, int known, std::size_t end) {
      if (known > 5 && end < width && total(runs) >= 7 * k_least_module_px && in_ratio(runs))
        consider({middle_of(runs, end), y + 0.5}, total(runs) / 7);
    });
  }

  // Lengths of the five runs on the line through `middle`; nothing when it leaves the picture or is too long.
  [[nodiscard]] bool runs_through(const PointF& middle, double angle, double longest, Runs& runs) const {
    runs = {};
    for (const double sign : {-1.0, 1.0}) {
      const double dx = sign * std::cos(angle);
      const double dy = sign * std::sin(angle);
      double at = 0;
      for (int part = 0; part < 3; ++part) {  // out of the middle, over the light square, over the dark one
        const bool want_dark = part != 1;
        const double start = at;
        while (inside(middle.x + at * dx, middle.y + at * dy) &&
               dark(middle.x + at * dx, middle.y + at * dy) == want_dark && at < longest)
          at += k_step;
        if (at >= longest || !inside(middle.x + at * dx, middle.y + at * dy)) return false;
        const std::size_t run = static_cast<std::size_t>(sign < 0 ? 2 - part : 2 + part);
        runs[run] += at - start;
      }
    }
    return true;
  }

  void consider(PointF middle, double module) {
    for (const FinderPattern& old : found_)
      if (std::hypot(old.middle.x - middle.x, old.middle.y - middle.y) < 3.5 * old.module_px) return;
    if (!dark(middle.x, middle.y)) return;
    middle.y = middle_down(middle, module);
    if (middle.y < 0) return;
    int right = 0;
    double sum = 0;
    double longest = 0;
    for (int line = 0; line < k_lines; ++line) {
      Runs runs{};
      if (!runs_through(middle, line * std::numbers::pi / k_lines, 8 * module, runs) || !in_ratio(runs)) continue;
      ++right;
      sum += total(runs);
      longest = std::max(longest, total(runs));
    }
    if (right < (module < k_small_module_px ? k_lines : k_least_lines) || longest > k_longest_line * sum / right)
      return;
    found_.push_back({middle, sum / right / 7});
  }

  // Where the middle of the dark middle lies up and down; below 0 when it is no pattern that way.
  [[nodiscard]] double middle_down(const PointF& about, double module) const {
    double up = 0;
    double down = 0;
    while (up < 4 * module && inside(about.x, about.y - up) && dark(about.x, about.y - up)) up += k_step;
    while (down < 4 * module && inside(about.x, about.y + down) && dark(about.x, about.y + down)) down += k_step;
    const double middle = about.y + (down - up) / 2;
    return up + down < 5 * module && inside(about.x, middle) ? middle : -1;
  }

  static constexpr double k_step = 0.5;  // pixels

  const GreyView& picture_;
  std::vector<FinderPattern> found_;
};

}  // namespace

std::vector<FinderPattern> find_finder_patterns(const GreyView& two_tone) { return Search{two_tone}.run(); }

}  // namespace sherdmark
