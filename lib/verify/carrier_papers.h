// Where the bag labels and tags of a picture lie, by their codes and the house standard's design, and what of their own
// print may look like the line of an artifact label. Private to the sifting of texts.
#pragma once

#include <algorithm>
#include <cmath>
#include <vector>

#include "sherdmark/base/picture.h"
#include "sherdmark/code/symbol.h"
#include "sherdmark/scan/codes.h"
#include "sherdmark/standard/house_standard.h"

namespace sherdmark {

[[nodiscard]] inline double distance(const PointF& a, const PointF& b) { return std::hypot(a.x - b.x, a.y - b.y); }

// A place within four corners, (0,0) … (1,1): each side is divided evenly.
[[nodiscard]] inline PointF place_within(const Corners& c, double u, double v) {
  return {(1 - v) * ((1 - u) * c[0].x + u * c[1].x) + v * ((1 - u) * c[3].x + u * c[2].x),
          (1 - v) * ((1 - u) * c[0].y + u * c[1].y) + v * ((1 - u) * c[3].y + u * c[2].y)};
}

// The plane of a carrier: (0,0) … (1,1) is the code without its quiet zone.
class CodePlane {
 public:
  explicit CodePlane(const Corners& c) : origin_(c[0]) {
    const double sx = c[0].x - c[1].x + c[2].x - c[3].x, sy = c[0].y - c[1].y + c[2].y - c[3].y;
    const double dx1 = c[1].x - c[2].x, dx2 = c[3].x - c[2].x, dy1 = c[1].y - c[2].y, dy2 = c[3].y - c[2].y;
    const double determinant = dx1 * dy2 - dx2 * dy1;
    if (std::abs(determinant) > 1e-9) {
      g_ = (sx * dy2 - dx2 * sy) / determinant;
      h_ = (dx1 * sy - sx * dy1) / determinant;
    }
    along_ = {c[1].x - c[0].x + g_ * c[1].x, c[1].y - c[0].y + g_ * c[1].y};
    down_ = {c[3].x - c[0].x + h_ * c[3].x, c[3].y - c[0].y + h_ * c[3].y};
  }
  [[nodiscard]] PointF at(double u, double v) const {
    const double w = std::max(0.05, g_ * u + h_ * v + 1);
    return {(along_.x * u + down_.x * v + origin_.x) / w, (along_.y * u + down_.y * v + origin_.y) / w};
  }

 private:
  PointF origin_;
  PointF along_;
  PointF down_;
  double g_ = 0;
  double h_ = 0;
};

// A bag label or tag in the picture, and the two things on it that may look like the line of an artifact label: the
// code, and the large print with the rule under it. Both stand where the design puts them.
struct SeenCarrierPaper {
  Corners outline{};
  Corners code{};
  Corners large_print{};
  double px_per_mm = 0;
  double longest_leg_mm = 0;  // of the letters over the large print and under it
  Corners line_over_print{};  // the capitals of role and bag id, and a little about them
  Corners under_that_line{};  // the rest of the paper
  Corners modules{};          // the code without its quiet zone
  SymbolMatrix symbol{};
};

[[nodiscard]] std::vector<SeenCarrierPaper> carrier_papers(const std::vector<CodeReading>& codes,
                                                           const HouseStandard& standard);

struct Tone {
  double contrast = 0;    // of the darkest and lightest fiftieths
  double dark_share = 0;  // of the area, darker than half way between
  double half = 0;        // half way between
};

[[nodiscard]] Tone tone_of(const GreyView& pixels, const Corners& corners);

}  // namespace sherdmark
