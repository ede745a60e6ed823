// What a person is shown of a bag label or tag whose code was not read: the whole label, for serial and bag id stand at
// its edges, and a frame round the code, for the crop may show a neighbour too.
#include <algorithm>
#include <array>
#include <cmath>

#include "report/crop_sample.h"
#include "sherdmark/code/symbol.h"
#include "sherdmark/report/review_report.h"
#include "sherdmark/sheet/carrier_code_place.h"

namespace sherdmark {
namespace {

constexpr double k_about_unread = 6;      // sides of what is seen of a code, shown round it: it may be one corner of it
constexpr double k_slack = 0.12;          // of the label, for a picture taken aslant
constexpr double k_least_wide_px = 1800;  // on a screen
constexpr double k_most_wide_px = 3000;
constexpr double k_most_enlarged = 4;
constexpr int k_frame_px = 4;
constexpr std::array<std::uint8_t, 3> k_frame{255, 140, 0};

// How far the label reaches from the middle of its code, in pixels of the photograph, along the code's sides.
struct Reach {
  double left = 0;
  double up = 0;
  double right = 0;
  double down = 0;

  void widen(const Reach& other) {
    left = std::max(left, other.left);
    up = std::max(up, other.up);
    right = std::max(right, other.right);
    down = std::max(down, other.down);
  }
};

double side_px(const Corners& c) {
  double around = 0;
  for (std::size_t i = 0; i < 4; ++i) around += std::hypot(c[(i + 1) % 4].x - c[i].x, c[(i + 1) % 4].y - c[i].y);
  return std::max(1.0, around / 4);
}

// Which of the two it is nobody read: so far as either reaches. Nothing when no code of this length fits the designs.
Reach reach_by_design(const std::string& text, double side, const HouseStandard& standard) {
  Reach reach;
  const SymbolMatrix symbol = make_qr(text, ErrorLevel::q);
  for (const LabelRole role : {LabelRole::bag, LabelRole::tag}) {
    const CarrierDesign& design = standard.carrier_design(role);
    const auto place = place_carrier_code(symbol, design, standard.printer.dpi);
    if (!place) continue;
    const double px_per_mm = side / (symbol.width_modules * place->size.module_mm);
    const double half_mm = place->size.size_mm / 2;
    const double slack = k_slack * std::max(design.width_mm, design.height_mm);
    reach.widen({(place->x_mm + half_mm + slack) * px_per_mm, (place->y_mm + half_mm + slack) * px_per_mm,
                 (design.width_mm - place->x_mm - half_mm + slack) * px_per_mm,
                 (design.height_mm - place->y_mm - half_mm + slack) * px_per_mm});
  }
  return reach;
}

// Upright and without correcting the view: turned by the code's own direction.
struct Turned {
  PointF middle;
  double cosine = 1;
  double sine = 0;

  [[nodiscard]] PointF to_photograph(double along, double down) const {
    return {middle.x + along * cosine - down * sine, middle.y + along * sine + down * cosine};
  }
  [[nodiscard]] PointF from_photograph(const PointF& at) const {
    const double x = at.x - middle.x;
    const double y = at.y - middle.y;
    return {x * cosine + y * sine, -x * sine + y * cosine};
  }
};

Turned turned_by(const Corners& c) {
  const double x = c[1].x - c[0].x + c[2].x - c[3].x;
  const double y = c[1].y - c[0].y + c[2].y - c[3].y;
  const double length = std::hypot(x, y);
  return length > 0 ? Turned{centre_of(c), x / length, y / length} : Turned{centre_of(c)};
}

void frame(ColourPicture& crop, double left, double top, double right, double bottom) {
  const auto put = [&crop](int x, int y) {
    if (x < 0 || y < 0 || x >= crop.width_px || y >= crop.height_px) return;
    const auto index =
        static_cast<std::size_t>(y) * static_cast<std::size_t>(crop.width_px) + static_cast<std::size_t>(x);
    std::copy(k_frame.begin(), k_frame.end(), crop.rgb.begin() + static_cast<std::ptrdiff_t>(index * 3));
  };
  const int l = static_cast<int>(left), t = static_cast<int>(top), r = static_cast<int>(right),
            b = static_cast<int>(bottom);
  for (int line = 0; line < k_frame_px; ++line) {
    for (int x = l - k_frame_px; x <= r + k_frame_px; ++x) put(x, t - 1 - line), put(x, b + 1 + line);
    for (int y = t - k_frame_px; y <= b + k_frame_px; ++y) put(l - 1 - line, y), put(r + 1 + line, y);
  }
}

}  // namespace

ColourPicture crop_carrier(const ColourPicture& photograph, const Reading& seen, const HouseStandard& standard) {
  const Corners& code = *seen.corners;
  const double side = side_px(code);
  const Turned turned = turned_by(code);
  Reach reach;
  if (seen.text && !seen.text->empty()) reach = reach_by_design(*seen.text, side, standard);
  if (reach.right <= 0) {
    reach = {k_about_unread * side, k_about_unread * side, k_about_unread * side, k_about_unread * side};
    if (turned.sine == 0 && turned.cosine > 0)  // not beyond the picture
      reach = {std::min(reach.left, turned.middle.x), std::min(reach.up, turned.middle.y),
               std::min(reach.right, photograph.width_px - turned.middle.x),
               std::min(reach.down, photograph.height_px - turned.middle.y)};
  }
  const double wide = reach.left + reach.right;
  const double high = reach.up + reach.down;
  const double enlarged =
      std::min(std::clamp(k_least_wide_px / wide, 1.0, k_most_enlarged), k_most_wide_px / std::max(wide, high));
  ColourPicture crop;
  crop.width_px = std::max(1, static_cast<int>(wide * enlarged));
  crop.height_px = std::max(1, static_cast<int>(high * enlarged));
  crop.rgb.assign(static_cast<std::size_t>(crop.width_px) * static_cast<std::size_t>(crop.height_px) * 3, 128);
  std::size_t out = 0;
  for (int row = 0; row < crop.height_px; ++row)
    for (int column = 0; column < crop.width_px; ++column, out += 3)
      sample_into(photograph,
                  turned.to_photograph((column + 0.5) / enlarged - reach.left, (row + 0.5) / enlarged - reach.up),
                  std::span<std::uint8_t, 3>{crop.rgb.data() + out, 3});
  double left = wide, top = high, right = 0, bottom = 0;
  for (const PointF& corner : code) {
    const PointF at = turned.from_photograph(corner);
    left = std::min(left, at.x + reach.left);
    right = std::max(right, at.x + reach.left);
    top = std::min(top, at.y + reach.up);
    bottom = std::max(bottom, at.y + reach.up);
  }
  frame(crop, left * enlarged, top * enlarged, right * enlarged, bottom * enlarged);
  return crop;
}

}  // namespace sherdmark
