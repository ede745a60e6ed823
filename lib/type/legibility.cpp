#include "sherdmark/type/legibility.h"

#include <algorithm>
#include <cmath>

#include "sherdmark/base/units.h"

namespace sherdmark {
namespace {
// NUREG-0700 prints 6.283 / 21600; this is the same ratio to full precision: one minute of arc in radians.
constexpr double k_arcmin_rad = 2.0 * 3.14159265358979323846 / 21600.0;
}  // namespace

double arcmin_of(double height_mm, double distance_mm) { return height_mm / (distance_mm * k_arcmin_rad); }
double height_for(double arcmin, double distance_mm) { return arcmin * distance_mm * k_arcmin_rad; }
double distance_for(double height_mm, double arcmin) { return height_mm / (arcmin * k_arcmin_rad); }

Legibility judge_legibility(double size_pt, double cap_height_em, double x_height_em, double distance_mm) {
  Legibility result;
  result.size_pt = size_pt;
  result.body_mm = pt_to_mm(size_pt);
  result.cap_mm = result.body_mm * cap_height_em;
  result.x_mm = result.body_mm * x_height_em;
  result.distance_mm = distance_mm;
  result.cap_arcmin = arcmin_of(result.cap_mm, distance_mm);
  result.x_arcmin = arcmin_of(result.x_mm, distance_mm);
  result.distance_at_least_mm = distance_for(result.cap_mm, k_least_arcmin);
  result.distance_at_preferred_mm = distance_for(result.cap_mm, k_preferred_arcmin);
  if (result.cap_arcmin < k_least_arcmin) {
    const double power = k_preferred_arcmin / arcmin_of(result.cap_mm, k_lens_reference_mm);
    result.lens_power = std::max(1.5, std::ceil(power * 2.0 - 1e-9) / 2.0);
  }
  return result;
}

}  // namespace sherdmark
