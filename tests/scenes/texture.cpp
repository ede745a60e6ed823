#include "scenes/texture.h"

#include <cmath>

namespace sherdmark::scenes {
namespace {

float lattice(std::int32_t x, std::int32_t y, std::uint32_t seed) {
  std::uint32_t h = seed + static_cast<std::uint32_t>(x) * 0x9E3779B1U + static_cast<std::uint32_t>(y) * 0x85EBCA77U;
  h ^= h >> 15U;
  h *= 0x2C1B3C6DU;
  h ^= h >> 12U;
  h *= 0x297A2D39U;
  h ^= h >> 15U;
  return static_cast<float>(h & 0xFFFFU) / 32767.5F - 1.0F;
}

}  // namespace

float smooth_noise(double x, double y, std::uint32_t seed) {
  const double fx = std::floor(x), fy = std::floor(y);
  const auto ix = static_cast<std::int32_t>(fx), iy = static_cast<std::int32_t>(fy);
  const auto tx = static_cast<float>(x - fx), ty = static_cast<float>(y - fy);
  const float sx = tx * tx * (3 - 2 * tx), sy = ty * ty * (3 - 2 * ty);
  const float top = lattice(ix, iy, seed) * (1 - sx) + lattice(ix + 1, iy, seed) * sx;
  const float low = lattice(ix, iy + 1, seed) * (1 - sx) + lattice(ix + 1, iy + 1, seed) * sx;
  return top * (1 - sy) + low * sy;
}

float rough_noise(double x, double y, int octaves, float roughness, std::uint32_t seed) {
  float sum = 0, strength = 1, total = 0;
  for (int i = 0; i < octaves; ++i) {
    sum += strength * smooth_noise(x, y, seed + static_cast<std::uint32_t>(i) * 101U);
    total += strength;
    strength *= roughness;
    x *= 2.03;
    y *= 2.03;
  }
  return sum / total;
}

}  // namespace sherdmark::scenes
