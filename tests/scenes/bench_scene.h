// A bench photograph: a mat, a clear bag with its label, a tag, and sherds that carry their labels.
#pragma once

#include <cstdint>
#include <vector>

#include "scenes/paper.h"
#include "sherdmark/base/picture.h"
#include "sherdmark/base/random.h"

namespace sherdmark::scenes {

// Papers that lie in one picture; they must live while it is taken. One or two bags; every tag lies under its bag
// label.
struct BenchScene {
  std::vector<const Paper*> bag_labels;
  std::vector<const Paper*> tags;
  std::vector<const Paper*> artifact_labels;  // at most k_most_artifacts, each glued to a sherd of its own
};

inline constexpr std::size_t k_most_artifacts = 8;

struct Camera {
  double px_per_mm = 12;
  double blur_px = 0.55;
  double noise_levels = 2.0;
  double most_tilt_deg = 8;  // of each sherd
  double uneven_light = 0.22;
};

// The same picture for the same papers, camera and random numbers.
[[nodiscard]] ColourPicture photograph(const BenchScene& scene, const Camera& camera, RandomSource& random);

}  // namespace sherdmark::scenes
