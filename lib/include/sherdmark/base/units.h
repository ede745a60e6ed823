// Lengths on paper and on screen. Every length that crosses an interface names its unit: _mm, _pt, _dots, _px.
#pragma once

namespace sherdmark {

inline constexpr double k_mm_per_inch = 25.4;
inline constexpr double k_pt_per_inch = 72.0;  // the PostScript/PDF point

[[nodiscard]] constexpr double pt_to_mm(double pt) { return pt * k_mm_per_inch / k_pt_per_inch; }
[[nodiscard]] constexpr double mm_to_pt(double mm) { return mm * k_pt_per_inch / k_mm_per_inch; }
[[nodiscard]] constexpr double dots_to_mm(double dots, double dpi) { return dots * k_mm_per_inch / dpi; }
[[nodiscard]] constexpr double mm_to_dots(double mm, double dpi) { return mm * dpi / k_mm_per_inch; }

}  // namespace sherdmark
