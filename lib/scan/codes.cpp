#include "sherdmark/scan/codes.h"

#include <algorithm>

#include "scan/zxing_reader.h"

namespace sherdmark {
namespace {

PointF centre(const Corners& corners) {
  PointF sum;
  for (const PointF& corner : corners) sum = {sum.x + corner.x / 4, sum.y + corner.y / 4};
  return sum;
}

bool within_bounds(const PointF& point, const Corners& corners) {
  const auto [left, right] = std::minmax({corners[0].x, corners[1].x, corners[2].x, corners[3].x});
  const auto [top, bottom] = std::minmax({corners[0].y, corners[1].y, corners[2].y, corners[3].y});
  return point.x >= left && point.x <= right && point.y >= top && point.y <= bottom;
}

// The same symbol seen twice; two prints of one text lie apart and stay two.
bool same_symbol(const CodeReading& a, const CodeReading& b) {
  return a.format == b.format && a.text == b.text &&
         (within_bounds(centre(a.corners), b.corners) || within_bounds(centre(b.corners), a.corners));
}

void add_new(std::vector<CodeReading>& all, std::vector<CodeReading> more) {
  for (CodeReading& reading : more) {
    const bool known =
        std::any_of(all.begin(), all.end(), [&reading](const CodeReading& old) { return same_symbol(old, reading); });
    if (!known) all.push_back(std::move(reading));
  }
}

}  // namespace

std::vector<CodeReading> read_codes(const GreyView& picture, const CodeReadingOptions& options) {
  std::vector<CodeReading> readings;
  add_new(readings, read_once(picture, {.all_formats = options.all_formats}));
  return readings;
}

}  // namespace sherdmark
