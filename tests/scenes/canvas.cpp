#include "scenes/canvas.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace sherdmark::scenes {
namespace {

constexpr double k_pi = 3.14159265358979323846;

std::vector<float> gaussian(double sigma) {
  const int reach = std::max(1, static_cast<int>(std::ceil(3 * sigma)));
  std::vector<float> weights;
  float sum = 0;
  for (int i = -reach; i <= reach; ++i) {
    weights.push_back(static_cast<float>(std::exp(-i * i / (2 * sigma * sigma))));
    sum += weights.back();
  }
  for (float& weight : weights) weight /= sum;
  return weights;
}

}  // namespace

Canvas::Canvas(int width_px, int height_px, const Colour& fill)
    : width_{width_px},
      height_{height_px},
      pixels_(static_cast<std::size_t>(width_px) * static_cast<std::size_t>(height_px), fill) {}

void blur(Canvas& canvas, double sigma_px) {
  if (sigma_px < 0.05) return;
  const std::vector<float> weights = gaussian(sigma_px);
  const int reach = static_cast<int>(weights.size() / 2);
  const int width = canvas.width_px(), height = canvas.height_px();
  std::vector<Colour> line(static_cast<std::size_t>(std::max(width, height)));
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      Colour sum;
      for (int i = -reach; i <= reach; ++i)
        sum = sum + canvas.at(std::clamp(x + i, 0, width - 1), y) * weights[static_cast<std::size_t>(i + reach)];
      line[static_cast<std::size_t>(x)] = sum;
    }
    for (int x = 0; x < width; ++x) canvas.at(x, y) = line[static_cast<std::size_t>(x)];
  }
  // Down the columns a whole row at a time, so that memory is read in order.
  const Canvas source = canvas;
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) canvas.at(x, y) = {};
    for (int i = -reach; i <= reach; ++i) {
      const float weight = weights[static_cast<std::size_t>(i + reach)];
      const int from = std::clamp(y + i, 0, height - 1);
      for (int x = 0; x < width; ++x) canvas.at(x, y) = canvas.at(x, y) + source.at(x, from) * weight;
    }
  }
}

void smear(Canvas& canvas, double length_px, double direction_rad) {
  if (length_px < 0.3) return;
  const Canvas source = canvas;
  const int steps = std::max(2, static_cast<int>(std::ceil(2 * length_px)));
  for (int y = 0; y < canvas.height_px(); ++y) {
    for (int x = 0; x < canvas.width_px(); ++x) {
      Colour sum;
      for (int i = 0; i < steps; ++i) {
        const double off = ((i + 0.5) / steps - 0.5) * length_px;
        const double px = std::clamp(x + off * std::cos(direction_rad), 0.0, canvas.width_px() - 1.001);
        const double py = std::clamp(y + off * std::sin(direction_rad), 0.0, canvas.height_px() - 1.001);
        const int x0 = static_cast<int>(px), y0 = static_cast<int>(py);
        const int x1 = std::min(x0 + 1, canvas.width_px() - 1), y1 = std::min(y0 + 1, canvas.height_px() - 1);
        const auto fx = static_cast<float>(px - x0), fy = static_cast<float>(py - y0);
        sum =
            sum + mix(mix(source.at(x0, y0), source.at(x1, y0), fx), mix(source.at(x0, y1), source.at(x1, y1), fx), fy);
      }
      canvas.at(x, y) = sum * (1.0F / static_cast<float>(steps));
    }
  }
}

double normal(RandomSource& random) {
  const double u = std::max(1e-12, random.unit());
  return std::sqrt(-2 * std::log(u)) * std::cos(2 * k_pi * random.unit());
}

double between(RandomSource& random, double low, double high) { return low + (high - low) * random.unit(); }

namespace {

// A long table of normal numbers, entered at random places: noise for millions of pixels at small cost.
class NoiseTable {
 public:
  explicit NoiseTable(RandomSource& random) : random_{random} {
    for (float& value : values_) value = static_cast<float>(normal(random));
  }
  float next() {
    if (left_ == 0) {
      at_ = static_cast<std::size_t>(random_.below(k_size));
      left_ = 97;
    }
    --left_;
    at_ = at_ + 1 == k_size ? 0 : at_ + 1;
    return values_[at_];
  }

 private:
  static constexpr std::size_t k_size = 1U << 16U;
  RandomSource& random_;
  std::vector<float> values_ = std::vector<float>(k_size);
  std::size_t at_ = 0;
  int left_ = 0;
};

std::uint8_t level_of(float light, float noise) {
  return static_cast<std::uint8_t>(std::clamp(light * 255.0F + noise, 0.0F, 255.0F) + 0.5F);
}

}  // namespace

ColourPicture expose(const Canvas& canvas, double noise_levels, RandomSource& random) {
  NoiseTable noise{random};
  ColourPicture picture{canvas.width_px(), canvas.height_px(), {}};
  picture.rgb.resize(static_cast<std::size_t>(canvas.width_px()) * static_cast<std::size_t>(canvas.height_px()) * 3);
  std::uint8_t* out = picture.rgb.data();
  const auto strength = static_cast<float>(noise_levels);
  for (int y = 0; y < canvas.height_px(); ++y) {
    for (int x = 0; x < canvas.width_px(); ++x, out += 3) {
      const Colour& c = canvas.at(x, y);
      const float light = std::clamp((c.r + c.g + c.b) / 3, 0.0F, 1.0F);
      const float sigma = strength * std::sqrt(0.35F + 1.3F * light);
      const float shared = 0.8F * noise.next();  // most noise is in the light, little in the colour
      out[0] = level_of(c.r, sigma * (shared + 0.6F * noise.next()));
      out[1] = level_of(c.g, sigma * (shared + 0.6F * noise.next()));
      out[2] = level_of(c.b, sigma * (shared + 0.6F * noise.next()));
    }
  }
  return picture;
}

}  // namespace sherdmark::scenes
