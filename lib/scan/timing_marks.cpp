#include "scan/timing_marks.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <limits>

namespace sherdmark {
namespace {

constexpr int k_steps = 8;        // places looked at to a module of even width
constexpr int k_slack_steps = 4;  // the corners may be so far off
constexpr int k_least_width = 4, k_most_width = 14;
constexpr int k_widths = k_most_width - k_least_width + 1;
constexpr int k_most_change = 2;         // of width, from one module to the next
constexpr float k_change_weight = 0.5F;  // of its square, against a place that fits
constexpr double k_outermost_modules = -0.8, k_innermost_modules = 0.8, k_inward_step = 0.1;
constexpr int k_near_steps = 12;                                   // a dark module lies within so many to either side
constexpr std::array k_looked_at_modules = {0.1, 0.2, 0.35, 0.5};  // behind the edge

// How far in, in modules, the first dark place lies; the farthest looked at when there is none.
double first_dark(const std::function<double(double)>& grey_in, double threshold) {
  for (double in = k_outermost_modules; in < k_innermost_modules; in += k_inward_step)
    if (grey_in(in) < threshold) return in;
  return k_innermost_modules;
}

// Dark (1) or light (-1) along the side, as deep in the modules' outermost half as the dark ones nearby begin: the
// side may be bowed.
std::vector<float> look_along(const GreyView& picture, const Perspective& view, const GridShape& shape, BrokenSide side,
                              double threshold) {
  const int modules = side == BrokenSide::top ? shape.columns : shape.rows;
  const int across = side == BrokenSide::top ? shape.rows : shape.columns;
  const int count = modules * k_steps + 2 * k_slack_steps;
  const auto grey_at = [&](int i, double in) {
    const double along = (i - k_slack_steps + 0.5) / (modules * k_steps), off = in / across;
    return grey_between(picture, side == BrokenSide::top ? view(along, off) : view(1 - off, along));
  };
  std::vector<double> outermost;
  for (int i = 0; i < count; ++i) outermost.push_back(first_dark([&](double in) { return grey_at(i, in); }, threshold));
  std::vector<float> seen;
  for (int i = 0; i < count; ++i) {
    const auto from = outermost.begin() + std::max(0, i - k_near_steps);
    const auto to = outermost.begin() + std::min(count, i + k_near_steps + 1);
    const double edge = *std::min_element(from, to);
    int dark = 0;
    for (const double in : k_looked_at_modules) dark += grey_at(i, edge + in) < threshold ? 1 : 0;
    seen.push_back(2 * dark >= static_cast<int>(k_looked_at_modules.size()) ? 1.0F : -1.0F);
  }
  return seen;
}

bool is_dark(const GridShape& shape, BrokenSide side, int module) {
  const Module known = side == BrokenSide::top ? shape.at(module, 0) : shape.at(shape.columns - 1, module);
  return known == Module::dark;
}

// Best sum of what fits, over all borders up to one of them: by the place of that border and the width before it.
class Borders {
 public:
  Borders(const std::vector<float>& seen, int modules)
      : places_{static_cast<int>(seen.size()) + 1},
        best_(static_cast<std::size_t>(modules + 1) * static_cast<std::size_t>(places_) * k_widths, k_never),
        came_from_(best_.size(), 0) {
    sums_.push_back(0);
    for (const float value : seen) sums_.push_back(sums_.back() + value);
    for (int place = 0; place <= 2 * k_slack_steps; ++place)
      for (int width = 0; width < k_widths; ++width) best_[index(0, place, width)] = 0;
  }

  void add(int module, bool dark) {
    for (int place = k_least_width; place < places_; ++place)
      for (int width = 0; width < k_widths; ++width) {
        const int before = place - width - k_least_width;
        if (before < 0) continue;
        const float ink = sums_[static_cast<std::size_t>(place)] - sums_[static_cast<std::size_t>(before)];
        for (int old = std::max(0, width - k_most_change); old <= std::min(k_widths - 1, width + k_most_change);
             ++old) {
          const auto change = static_cast<float>(width - old);
          const float worth =
              best_[index(module, before, old)] + (dark ? ink : -ink) - k_change_weight * change * change;
          float& best = best_[index(module + 1, place, width)];
          if (worth <= best) continue;
          best = worth;
          came_from_[index(module + 1, place, width)] = static_cast<std::uint8_t>(old);
        }
      }
  }

  // Places of the best borders, the last of which lies near the end.
  [[nodiscard]] std::vector<int> places(int modules) const {
    int place = places_ - 1, width = 0;
    float most = k_never;
    for (int p = places_ - 1 - 2 * k_slack_steps; p < places_; ++p)
      for (int w = 0; w < k_widths; ++w)
        if (best_[index(modules, p, w)] > most) most = best_[index(modules, p, w)], place = p, width = w;
    if (most == k_never) return {};
    std::vector<int> borders{place};
    for (int module = modules; module > 0; --module) {
      const int old = came_from_[index(module, place, width)];
      place -= width + k_least_width;
      width = old;
      borders.push_back(place);
    }
    std::reverse(borders.begin(), borders.end());
    return borders;
  }

 private:
  static constexpr float k_never = -std::numeric_limits<float>::infinity();

  [[nodiscard]] std::size_t index(int border, int place, int width) const {
    return (static_cast<std::size_t>(border) * static_cast<std::size_t>(places_) + static_cast<std::size_t>(place)) *
               k_widths +
           static_cast<std::size_t>(width);
  }

  int places_;
  std::vector<float> sums_;  // of what was seen, up to each place
  std::vector<float> best_;
  std::vector<std::uint8_t> came_from_;  // width before
};

}  // namespace

std::vector<double> timing_marks(const GreyView& picture, const Perspective& view, const GridShape& shape,
                                 BrokenSide side, double threshold) {
  const int modules = side == BrokenSide::top ? shape.columns : shape.rows;
  Borders borders{look_along(picture, view, shape, side, threshold), modules};
  for (int module = 0; module < modules; ++module) borders.add(module, is_dark(shape, side, module));
  std::vector<double> shares;
  for (const int place : borders.places(modules))
    shares.push_back(static_cast<double>(place - k_slack_steps) / (modules * k_steps));
  return shares;
}

}  // namespace sherdmark
