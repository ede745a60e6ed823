// Surfaces that are not plain: smooth random fields, the same for the same seed.
#pragma once

#include <cstdint>

namespace sherdmark::scenes {

// Smooth noise in -1 … 1 with features about one unit across.
[[nodiscard]] float smooth_noise(double x, double y, std::uint32_t seed);
// Several octaves of it, each half as large and `roughness` as strong.
[[nodiscard]] float rough_noise(double x, double y, int octaves, float roughness, std::uint32_t seed);

}  // namespace sherdmark::scenes
