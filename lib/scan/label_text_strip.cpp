#include "scan/label_text_strip.h"

#include <algorithm>
#include <array>
#include <cmath>

#if defined(__SSE2__)
#include <emmintrin.h>
#endif

namespace sherdmark::label_text {
namespace {

// The level whose type size is nearest above the grid's own rows, so that nothing is skipped between samples.
int level_for(const Pyramid& pyramid, double em_px) {
  int level = 0;
  while (level + 1 < pyramid.levels() && em_px > 1.6 / k_row_em) {
    em_px /= 2;
    ++level;
  }
  return level;
}

}  // namespace

PointF LineFrame::at(double x_em, double y_em) const {
  const double fraction = x_em / width_em;
  const double em = em_along_px();
  const double rise = (baseline_em + y_em) * em_up_px;
  const double bow = 4 * fraction * (1 - fraction);
  const double way = x_em * em + (start_em * (1 - fraction) + end_em * fraction) * em +
                     (squeeze + curl * (2 * fraction - 1)) * bow * length_px + slant * rise;
  const double off = rise + bend_px * bow;
  return {start.x + along.x * way + up.x * off, start.y + along.y * way + up.y * off};
}

double Strip::energy(int first, int count) const {
  const auto from = static_cast<std::size_t>(first + k_pad);
  const std::size_t to = from + static_cast<std::size_t>(count);
  const auto sum = static_cast<double>(sums[to] - sums[from]);
  return static_cast<double>(squares[to] - squares[from]) - sum * sum / (k_rows * static_cast<double>(count));
}

Strip take_strip(const Pyramid& pyramid, const LineFrame& frame, double column_em) {
  Strip strip;
  strip.columns = static_cast<int>(std::lround(frame.width_em / column_em));
  strip.stride = strip.columns + 2 * k_pad;
  const auto stride = static_cast<std::size_t>(strip.stride);
  strip.ink.resize(k_rows * stride + k_strip_tail);
  strip.sums.assign(stride + 1, 0);
  strip.squares.assign(stride + 1, 0);
  const int level = level_for(pyramid, std::min(frame.em_up_px, frame.em_along_px()));
  const GreyView view = pyramid.level(level);
  const double scale = 1.0 / (1 << level);
  const double rise = -k_row_em * frame.em_up_px * scale;  // one row down the page
  const PointF down{frame.up.x * rise + frame.along.x * frame.slant * rise,
                    frame.up.y * rise + frame.along.y * frame.slant * rise};
  for (int c = 0; c < strip.stride; ++c) {
    const PointF top = frame.at((c - k_pad + 0.5) * column_em, k_top_em - k_row_em / 2);
    double x = top.x * scale;
    double y = top.y * scale;
    const bool inside = is_inside(view, x, y) && is_inside(view, x + down.x * (k_rows - 1), y + down.y * (k_rows - 1));
    std::array<double, k_rows> xs, ys;
    for (std::size_t r = 0; r < k_rows; ++r, x += down.x, y += down.y) {
      xs[r] = x;
      ys[r] = y;
    }
    std::array<float, k_rows> light;
    if (inside) {
      std::array<float, k_rows> inside_xs, inside_ys;
      for (std::size_t r = 0; r < k_rows; ++r) {
        inside_xs[r] = static_cast<float>(xs[r]);
        inside_ys[r] = static_cast<float>(ys[r]);
      }
      sample_each_inside(view, inside_xs.data(), inside_ys.data(), k_rows, light.data());
    } else {
      sample_each(view, xs.data(), ys.data(), k_rows, light.data());
    }
    std::int64_t sum = 0;
    std::int64_t square = 0;
    for (std::size_t r = 0; r < k_rows; ++r) {
      const auto ink = static_cast<std::int16_t>((255.0F - light[r]) * static_cast<float>(k_ink_units));
      strip.ink[r * stride + static_cast<std::size_t>(c)] = ink;
      sum += ink;
      square += ink * ink;
    }
    const auto i = static_cast<std::size_t>(c);
    strip.sums[i + 1] = strip.sums[i] + sum;
    strip.squares[i + 1] = strip.squares[i] + square;
  }
  return strip;
}

namespace {

// The sum of many products, eight at a time.
#if defined(__SSE2__)
class Products {
 public:
  void add_eight(const std::int16_t* a, const std::int16_t* b) {
    const __m128i left = _mm_loadu_si128(reinterpret_cast<const __m128i*>(a));
    const __m128i right = _mm_loadu_si128(reinterpret_cast<const __m128i*>(b));
    sums_ = _mm_add_epi32(sums_, _mm_madd_epi16(left, right));
  }
  [[nodiscard]] std::int32_t sum() const {
    std::array<std::int32_t, 4> four{};
    _mm_storeu_si128(reinterpret_cast<__m128i*>(four.data()), sums_);
    return four[0] + four[1] + four[2] + four[3];
  }

 private:
  __m128i sums_ = _mm_setzero_si128();
};
#else
class Products {
 public:
  void add_eight(const std::int16_t* a, const std::int16_t* b) {
    for (int i = 0; i < 8; ++i) sum_ += a[i] * b[i];
  }
  [[nodiscard]] std::int32_t sum() const { return sum_; }

 private:
  std::int32_t sum_ = 0;
};
#endif

}  // namespace

double correlate(const Strip& strip, const GlyphTemplate& glyph, int column) {
  Products products;
  const std::int16_t* pattern = glyph.matched.data();
  for (int r = 0; r < k_rows; ++r, pattern += glyph.padded_columns) {
    const std::int16_t* ink = strip.row(r) + column;
    // Beyond the glyph the pattern is 0.
    for (int c = 0; c < glyph.padded_columns; c += 8) products.add_eight(ink + c, pattern + c);
  }
  return static_cast<double>(products.sum()) / k_template_scale;
}

}  // namespace sherdmark::label_text
