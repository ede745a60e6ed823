// One artifact label on a body, under stated conditions: the material of measurements.
#pragma once

#include <string>
#include <vector>

#include "scenes/paper.h"
#include "sherdmark/standard/house_standard.h"

namespace sherdmark::scenes {

enum class Cover { none, right_end, left_end, upper_half, middle };

struct TrialConditions {
  double px_per_mm = 10;
  double size_pt = 5;
  double blur_px = 0.5;
  double shake_px = 0;
  double noise_levels = 2;
  double most_tilt_deg = 0;
  double bend_radius_mm = 0;  // 0: flat
  int jpeg_quality = 90;      // 0: not compressed
  double uneven_light = 0.1;  // light falls off by this share across the picture
  double gloss = 0;           // strength of a highlight over the label, 0 … 1
  double body_light = 0.35;   // of the body the label is glued to, 0 … 1
  double ink_light = 0.10;
  double toner_spread_mm = 0;  // how far ink grows over every edge
  double trim_error_mm = 0.1;  // standard deviation of each cut
  Cover cover = Cover::none;
  double cover_light = 0.4;
  double least_turn_deg = -180;  // reading direction in the picture
  double most_turn_deg = 180;
};

// The same, with blur, shake, noise, tilt, light, compression, gloss, bend, body, ink and toner drawn anew from the ranges
// that a bench camera gives.
[[nodiscard]] TrialConditions mixed(TrialConditions conditions, RandomSource& random);

struct Trial {
  std::string number;              // canonical
  std::vector<std::string> lines;  // as printed
  GreyPicture picture;
  Corners corners;  // of the paper
};

// A number of a random scheme of the standard, drawn from all its canonical texts (short and long alike).
struct PrintedNumber {
  std::string number;
  std::vector<std::string> lines;
};
[[nodiscard]] PrintedNumber random_number(const HouseStandard& standard, RandomSource& random);
// The printed lines of a number.
[[nodiscard]] std::vector<std::string> lines_of(const HouseStandard& standard, const Number& number);

[[nodiscard]] Trial make_trial(const HouseStandard& standard, const Typeface& face, const PrintedNumber& number,
                               const TrialConditions& conditions, RandomSource& random);

}  // namespace sherdmark::scenes
