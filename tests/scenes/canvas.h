// A picture in the making: light as floats, 0 is black and 1 the lightest a camera shows (sRGB-like, not linear).
#pragma once

#include <vector>

#include "sherdmark/base/picture.h"
#include "sherdmark/base/random.h"

namespace sherdmark::scenes {

struct Colour {
  float r = 0;
  float g = 0;
  float b = 0;
};

inline Colour operator*(const Colour& c, float k) { return {c.r * k, c.g * k, c.b * k}; }
inline Colour operator+(const Colour& a, const Colour& b) { return {a.r + b.r, a.g + b.g, a.b + b.b}; }
inline Colour mix(const Colour& a, const Colour& b, float share_of_b) { return a * (1 - share_of_b) + b * share_of_b; }

class Canvas {
 public:
  Canvas(int width_px, int height_px, const Colour& fill = {});
  [[nodiscard]] int width_px() const { return width_; }
  [[nodiscard]] int height_px() const { return height_; }
  [[nodiscard]] Colour& at(int x, int y) { return pixels_[index(x, y)]; }
  [[nodiscard]] const Colour& at(int x, int y) const { return pixels_[index(x, y)]; }

 private:
  [[nodiscard]] std::size_t index(int x, int y) const {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(width_) + static_cast<std::size_t>(x);
  }
  int width_;
  int height_;
  std::vector<Colour> pixels_;
};

// Defocus as a Gaussian; standard deviation in pixels.
void blur(Canvas& canvas, double sigma_px);
// Camera shake: a straight smear of that length.
void smear(Canvas& canvas, double length_px, double direction_rad);

// 8-bit pixels with sensor noise of that standard deviation at mid-grey, in grey levels; it grows with light.
[[nodiscard]] ColourPicture expose(const Canvas& canvas, double noise_levels, RandomSource& random);

// Normally distributed, mean 0, standard deviation 1.
[[nodiscard]] double normal(RandomSource& random);
[[nodiscard]] double between(RandomSource& random, double low, double high);

}  // namespace sherdmark::scenes
