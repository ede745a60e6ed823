#include "scan/picture_filters.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <type_traits>

#include "sherdmark/base/wide.h"

namespace sherdmark {
namespace {

std::uint8_t clamped(double value) { return static_cast<std::uint8_t>(std::clamp(value + 0.5, 0.0, 255.0)); }

// Applies `of(x, y, value)` to every pixel.
template <typename Of>
GreyPicture mapped(const GreyView& in, Of of) {
  GreyPicture out = GreyPicture::unfilled(in.width_px, in.height_px);
  for (int y = 0; y < in.height_px; ++y) {
    const std::uint8_t* from = in.row(y);
    std::uint8_t* to = out.row(y);
    for (int x = 0; x < in.width_px; ++x) to[x] = of(x, y, from[x]);
  }
  return out;
}

// Sums over any rectangle in constant time.
class Sums {
 public:
  explicit Sums(const GreyView& in, bool squares)
      : width_(in.width_px), height_(in.height_px), sums_(size(width_) * size(height_)) {
    if (squares) squares_.resize(sums_.size());
    for (int y = 0; y < height_; ++y) {
      std::uint64_t row = 0;
      std::uint64_t row_squares = 0;
      for (int x = 0; x < width_; ++x) {
        const std::uint64_t value = in.at(x, y);
        row += value;
        row_squares += value * value;
        sums_[at(x + 1, y + 1)] = sums_[at(x + 1, y)] + row;
        if (squares) squares_[at(x + 1, y + 1)] = squares_[at(x + 1, y)] + row_squares;
      }
    }
  }

  struct Local {
    double mean;
    double deviation;
  };
  [[nodiscard]] Local around(int x, int y, int radius) const {
    const int left = std::max(x - radius, 0);
    const int top = std::max(y - radius, 0);
    const int right = std::min(x + radius + 1, width_);
    const int bottom = std::min(y + radius + 1, height_);
    const double count = static_cast<double>(right - left) * (bottom - top);
    const double mean = sum(sums_, left, top, right, bottom) / count;
    if (squares_.empty()) return {mean, 0};
    const double variance = sum(squares_, left, top, right, bottom) / count - mean * mean;
    return {mean, std::sqrt(std::max(variance, 0.0))};
  }

 private:
  static std::size_t size(int pixels) { return static_cast<std::size_t>(pixels) + 1; }
  [[nodiscard]] std::size_t at(int x, int y) const {
    return static_cast<std::size_t>(y) * size(width_) + static_cast<std::size_t>(x);
  }
  [[nodiscard]] double sum(const std::vector<std::uint64_t>& of, int left, int top, int right, int bottom) const {
    return static_cast<double>(of[at(right, bottom)] + of[at(left, top)] - of[at(left, bottom)] - of[at(right, top)]);
  }

  int width_;
  int height_;
  std::vector<std::uint64_t> sums_;
  std::vector<std::uint64_t> squares_;
};

// Value between pixel centres; the edge pixels go on for ever.
double between(const GreyView& in, double x, double y) {
  x = std::clamp(x - 0.5, 0.0, in.width_px - 1.0);
  y = std::clamp(y - 0.5, 0.0, in.height_px - 1.0);
  const int left = std::min(static_cast<int>(x), std::max(in.width_px - 2, 0));
  const int top = std::min(static_cast<int>(y), std::max(in.height_px - 2, 0));
  const int right = std::min(left + 1, in.width_px - 1);
  const int bottom = std::min(top + 1, in.height_px - 1);
  const double fx = x - left;
  const double fy = y - top;
  const double upper = in.at(left, top) * (1 - fx) + in.at(right, top) * fx;
  const double lower = in.at(left, bottom) * (1 - fx) + in.at(right, bottom) * fx;
  return upper * (1 - fy) + lower * fy;
}

}  // namespace

GreyPicture copied(const GreyView& in) {
  return mapped(in, [](int, int, std::uint8_t value) { return value; });
}

GreyPicture inverted(const GreyView& in) {
  return mapped(in, [](int, int, std::uint8_t value) { return static_cast<std::uint8_t>(255 - value); });
}

namespace {

// One row of a picture shrunk by a factor, from the sums down its columns. The usual factors are known while compiling:
// the machine has no quick way to divide by just any number.
template <typename Sum>
[[gnu::always_inline]] inline void shrink_by(auto factor, const Sum* from, std::uint8_t* to, std::size_t width_px) {
  const unsigned area = static_cast<unsigned>(factor) * static_cast<unsigned>(factor);
  for (std::size_t x = 0; x < width_px; ++x, from += factor) {
    unsigned sum = area / 2;
    for (int i = 0; i < factor; ++i) sum += from[i];
    to[x] = static_cast<std::uint8_t>(sum / area);
  }
}

// `factor` rows of the picture into one. Down first, which the machine does for many columns at once.
template <typename Sum>
[[gnu::always_inline]] inline void shrink_rows(const GreyView& in, int top, int factor, std::vector<Sum>& down,
                                               std::uint8_t* to, std::size_t width_px) {
  std::fill(down.begin(), down.end(), Sum{0});
  for (int line = 0; line < factor; ++line) {
    const std::uint8_t* from = in.row(top + line);
    Sum* sums = down.data();
    const std::size_t count = down.size();
    for (std::size_t x = 0; x < count; ++x) sums[x] = static_cast<Sum>(sums[x] + from[x]);
  }
  switch (factor) {
    case 2:
      return shrink_by(std::integral_constant<int, 2>{}, down.data(), to, width_px);
    case 3:
      return shrink_by(std::integral_constant<int, 3>{}, down.data(), to, width_px);
    case 4:
      return shrink_by(std::integral_constant<int, 4>{}, down.data(), to, width_px);
    default:
      return shrink_by(factor, down.data(), to, width_px);
  }
}

SHERDMARK_WIDE void shrink_into(GreyPicture& made, const GreyView& in, int factor, std::vector<std::uint16_t>& down) {
  for (int y = 0; y < made.height_px(); ++y)
    shrink_rows(in, y * factor, factor, down, made.row(y), static_cast<std::size_t>(made.width_px()));
}

void shrink_into(GreyPicture& made, const GreyView& in, int factor, std::vector<std::uint32_t>& down) {
  for (int y = 0; y < made.height_px(); ++y)
    shrink_rows(in, y * factor, factor, down, made.row(y), static_cast<std::size_t>(made.width_px()));
}

template <typename Sum>
GreyPicture shrink(const GreyView& in, int factor) {
  GreyPicture made = GreyPicture::unfilled(in.width_px / factor, in.height_px / factor);
  std::vector<Sum> down(static_cast<std::size_t>(made.width_px()) * static_cast<std::size_t>(factor));
  shrink_into(made, in, factor, down);
  return made;
}

}  // namespace

MadePicture shrunk(const GreyView& in, int factor) {
  constexpr int k_most_for_16_bits = 65535 / 255;
  MadePicture made{factor <= k_most_for_16_bits ? shrink<std::uint16_t>(in, factor) : shrink<std::uint32_t>(in, factor),
                   {}};
  made.back.xx = made.back.yy = factor;
  return made;
}

MadePicture resized(const GreyView& in, double factor) {
  const int width = std::max(1, static_cast<int>(in.width_px * factor));
  const int height = std::max(1, static_cast<int>(in.height_px * factor));
  MadePicture made{GreyPicture{width, height}, {}};
  made.back.xx = made.back.yy = 1 / factor;
  for (int y = 0; y < height; ++y) {
    std::uint8_t* to = made.picture.row(y);
    for (int x = 0; x < width; ++x) to[x] = clamped(between(in, (x + 0.5) / factor, (y + 0.5) / factor));
  }
  return made;
}

MadePicture turned(const GreyView& in, double degrees) {
  const double angle = degrees * std::numbers::pi / 180;
  const double c = std::cos(angle);
  const double s = std::sin(angle);
  const double w = in.width_px;
  const double h = in.height_px;
  const int width = static_cast<int>(std::ceil(std::abs(w * c) + std::abs(h * s)));
  const int height = static_cast<int>(std::ceil(std::abs(w * s) + std::abs(h * c)));
  MadePicture made{GreyPicture{width, height, 128}, {c, s, 0, -s, c, 0}};
  made.back.x0 = w / 2 - c * width / 2 - s * height / 2;
  made.back.y0 = h / 2 + s * width / 2 - c * height / 2;
  for (int y = 0; y < height; ++y) {
    std::uint8_t* to = made.picture.row(y);
    for (int x = 0; x < width; ++x) {
      const PointF from = made.back({x + 0.5, y + 0.5});
      if (from.x >= 0 && from.y >= 0 && from.x < w && from.y < h) to[x] = clamped(between(in, from.x, from.y));
    }
  }
  return made;
}

GreyPicture blurred(const GreyView& in, int radius) {
  const Sums sums{in, false};
  return mapped(in, [&](int x, int y, std::uint8_t) { return clamped(sums.around(x, y, radius).mean); });
}

GreyPicture sharpened(const GreyView& in, int radius, double amount) {
  const Sums sums{in, false};
  return mapped(in, [&](int x, int y, std::uint8_t value) {
    return clamped(value + amount * (value - sums.around(x, y, radius).mean));
  });
}

GreyPicture evened(const GreyView& in, int radius) {
  constexpr double k_spread = 64;
  constexpr double k_least_deviation = 4;  // less is noise, and is not blown up
  const Sums sums{in, true};
  return mapped(in, [&](int x, int y, std::uint8_t value) {
    const auto local = sums.around(x, y, radius);
    return clamped(128 + (value - local.mean) * k_spread / std::max(local.deviation, k_least_deviation));
  });
}

GreyPicture thresholded(const GreyView& in, int radius, double share) {
  const Sums sums{in, true};
  return mapped(in, [&](int x, int y, std::uint8_t value) {
    const auto local = sums.around(x, y, radius);
    return static_cast<std::uint8_t>(value < local.mean - share * local.deviation ? 0 : 255);
  });
}

namespace {

// Black where a pixel is darker by `shade` than the mean of the `side` sums from its own on; `before`: all sums up to
// each.
SHERDMARK_WIDE void mark_darker(const std::uint8_t* __restrict here, const int* __restrict before,
                                std::uint8_t* __restrict to, std::size_t count, std::size_t side, int shade) {
  const int area = static_cast<int>(side * side);
  for (std::size_t x = 0; x < count; ++x)
    to[x] = (here[x] + shade) * area < before[x + side] - before[x] ? std::uint8_t{0} : std::uint8_t{255};
}

}  // namespace

GreyPicture darker_than_near(const GreyView& in, int radius, int shade) {
  GreyPicture out{in.width_px, in.height_px, 255};
  const int side = 2 * radius + 1;
  const auto width = static_cast<std::size_t>(in.width_px);
  if (in.width_px < side || in.height_px < side) return out;
  std::vector<std::uint16_t> columns(width, 0);  // sums of `side` pixels, one above the other
  std::vector<int> before(width + 1, 0);         // and of all columns before each
  for (int y = 0; y < side; ++y) {
    const std::uint8_t* row = in.row(y);
    for (std::size_t x = 0; x < width; ++x) columns[x] = static_cast<std::uint16_t>(columns[x] + row[x]);
  }
  for (int y = radius;; ++y) {
    const std::uint8_t* here = in.row(y);
    std::uint8_t* to = out.row(y);
    for (std::size_t x = 0; x < width; ++x) before[x + 1] = before[x] + columns[x];
    mark_darker(here + radius, before.data(), to + radius, width + 1 - static_cast<std::size_t>(side),
                static_cast<std::size_t>(side), shade);
    if (y + radius + 1 >= in.height_px) return out;
    const std::uint8_t* enters = in.row(y + radius + 1);
    const std::uint8_t* leaves = in.row(y - radius);
    for (std::size_t x = 0; x < width; ++x) columns[x] = static_cast<std::uint16_t>(columns[x] + enters[x] - leaves[x]);
  }
}

GreyPicture stretched(const GreyView& in) {
  std::array<std::int64_t, 256> histogram{};
  for (int y = 0; y < in.height_px; ++y)
    for (int x = 0; x < in.width_px; ++x) ++histogram[in.at(x, y)];
  const std::int64_t cut = std::int64_t{in.width_px} * in.height_px / 100;
  int low = 0;
  int high = 255;
  for (std::int64_t seen = histogram[0]; seen <= cut && low < 254; seen += histogram[static_cast<std::size_t>(low)])
    ++low;
  for (std::int64_t seen = histogram[255]; seen <= cut && high > low + 1;
       seen += histogram[static_cast<std::size_t>(high)])
    --high;
  return mapped(in,
                [low, high](int, int, std::uint8_t value) { return clamped((value - low) * 255.0 / (high - low)); });
}

}  // namespace sherdmark
