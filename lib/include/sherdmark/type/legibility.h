// Can a person read type of this size at this distance? Angles after NUREG-0700 section 1.3.1-4
// (H = 6.283 D MA / 21600) with the limits of ISO 9241-3: 16 minutes of arc at least, 20 to 22 preferred.
#pragma once

namespace sherdmark {

inline constexpr double k_least_arcmin = 16.0;
inline constexpr double k_preferred_arcmin = 20.0;
inline constexpr double k_lens_reference_mm = 250.0;  // the distance to which a hand lens's power refers

// Visual angle of a height seen at a distance, in minutes of arc.
[[nodiscard]] double arcmin_of(double height_mm, double distance_mm);
// Height that subtends the angle at the distance, in mm.
[[nodiscard]] double height_for(double arcmin, double distance_mm);
// Farthest distance at which the height still subtends the angle, in mm.
[[nodiscard]] double distance_for(double height_mm, double arcmin);

struct Legibility {
  double size_pt = 0;
  double body_mm = 0;
  double cap_mm = 0;
  double x_mm = 0;
  double distance_mm = 0;
  double cap_arcmin = 0;
  double x_arcmin = 0;
  double distance_at_least_mm = 0;      // where capitals subtend 16'
  double distance_at_preferred_mm = 0;  // where they subtend 20'
  // 1 when no lens is needed at distance_mm; otherwise the power of a hand lens (250 mm / focal length in mm, rounded
  // up to a half) through which capitals subtend 20'.
  double lens_power = 1;
};

[[nodiscard]] Legibility judge_legibility(double size_pt, double cap_height_em, double x_height_em, double distance_mm);

}  // namespace sherdmark
