#include "scenes/paper.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "sherdmark/sheet/label_geometry.h"

namespace sherdmark::scenes {
namespace {

// Darkens the part of a rectangle that each pixel holds.
void fill(GreyPicture& picture, double left, double top, double right, double bottom) {
  for (int y = std::max(0, static_cast<int>(top)); y < std::min(picture.height_px(), static_cast<int>(bottom) + 1);
       ++y) {
    const double high = std::clamp(std::min<double>(y + 1, bottom) - std::max<double>(y, top), 0.0, 1.0);
    for (int x = std::max(0, static_cast<int>(left)); x < std::min(picture.width_px(), static_cast<int>(right) + 1);
         ++x) {
      const double wide = std::clamp(std::min<double>(x + 1, right) - std::max<double>(x, left), 0.0, 1.0);
      picture.row(y)[x] = static_cast<std::uint8_t>(picture.row(y)[x] * (1 - wide * high));
    }
  }
}

void draw_line(GreyPicture& picture, const Typeface& face, const std::u32string& line, double x, double baseline,
               double px_per_em) {
  for (const char32_t character : line) {
    const Typeface::GlyphPicture glyph = face.draw_glyph(character, px_per_em);
    const int left = static_cast<int>(std::lround(x));
    const int top = static_cast<int>(std::lround(baseline - glyph.baseline_px));
    for (int gy = 0; gy < glyph.ink.height_px(); ++gy) {
      const int y = top + gy;
      if (y < 0 || y >= picture.height_px()) continue;
      for (int gx = 0; gx < glyph.ink.width_px(); ++gx)
        if (left + gx >= 0 && left + gx < picture.width_px())
          picture.row(y)[left + gx] =
              std::min<std::uint8_t>(picture.row(y)[left + gx], static_cast<std::uint8_t>(255 - glyph.ink.row(gy)[gx]));
    }
    x += glyph.advance_px;
  }
}

// Ink grown by whole pixels in every direction.
void spread_ink(GreyPicture& picture, int px) {
  for (int round = 0; round < px; ++round) {
    const GreyPicture before = picture;
    for (int y = 1; y + 1 < picture.height_px(); ++y)
      for (int x = 1; x + 1 < picture.width_px(); ++x)
        picture.row(y)[x] = std::min(
            {before.row(y)[x], before.row(y)[x - 1], before.row(y)[x + 1], before.row(y - 1)[x], before.row(y + 1)[x]});
  }
}

}  // namespace

Paper::Paper(GreyPicture print, double px_per_mm) : px_per_mm_{px_per_mm} {
  levels_.push_back(std::move(print));
  while (levels_.back().width_px() > 8 && levels_.back().height_px() > 8 && levels_.size() < 6)
    levels_.push_back(halved(levels_.back().view()));
}

float Paper::light(const PointPaper& place, double seen_px_per_mm) const {
  std::size_t level = 0;
  double scale = px_per_mm_;
  while (level + 1 < levels_.size() && scale / 2 >= seen_px_per_mm) {
    scale /= 2;
    ++level;
  }
  const GreyPicture& picture = levels_[level];
  const double x = std::clamp((place.x_mm + width_mm() / 2) * scale - 0.5, 0.0, picture.width_px() - 1.0);
  const double y = std::clamp((place.y_mm + height_mm() / 2) * scale - 0.5, 0.0, picture.height_px() - 1.0);
  const int x0 = static_cast<int>(x), y0 = static_cast<int>(y);
  const int x1 = std::min(x0 + 1, picture.width_px() - 1), y1 = std::min(y0 + 1, picture.height_px() - 1);
  const double fx = x - x0, fy = y - y0;
  const double upper = picture.row(y0)[x0] * (1 - fx) + picture.row(y0)[x1] * fx;
  const double lower = picture.row(y1)[x0] * (1 - fx) + picture.row(y1)[x1] * fx;
  return static_cast<float>((upper * (1 - fy) + lower * fy) / 255);
}

Paper draw_label(const std::vector<std::string>& lines, const ArtifactLabelDesign& design, const Typeface& face,
                 const LabelTrim& trim, double toner_spread_mm, double px_per_mm) {
  const double em_mm = pt_to_mm(design.size_pt);
  std::vector<std::u32string> texts;
  double widest = 0;
  for (const std::string& line : lines) {
    texts.push_back(decode_utf8(line).value_or(U"?"));
    widest = std::max(widest, face.width_em(texts.back()) * em_mm);
  }
  const double left = design.trim_tolerance_mm + trim.left_mm;
  const double top = design.trim_tolerance_mm + trim.top_mm;
  const double width = left + widest + design.trim_tolerance_mm + trim.right_mm;
  const double height = top + label_text_height_mm(lines.size(), design.size_pt, design.rule_mm) +
                        design.trim_tolerance_mm + trim.bottom_mm;
  GreyPicture picture{static_cast<int>(std::lround(width * px_per_mm)),
                      static_cast<int>(std::lround(height * px_per_mm))};
  for (std::size_t i = 0; i < texts.size(); ++i) {
    const double baseline = top + label_baseline_mm(i, design.size_pt);
    draw_line(picture, face, texts[i], left * px_per_mm, baseline * px_per_mm, em_mm * px_per_mm);
    const double rule = baseline + k_rule_gap_em * em_mm;
    fill(picture, left * px_per_mm, rule * px_per_mm, (left + face.width_em(texts[i]) * em_mm) * px_per_mm,
         (rule + design.rule_mm) * px_per_mm);
  }
  spread_ink(picture, static_cast<int>(std::lround(toner_spread_mm * px_per_mm)));
  return Paper{std::move(picture), px_per_mm};
}

void lay(Canvas& canvas, const Paper& paper, const Pose& pose, const PaperLook& look,
         const std::function<float(int x, int y)>& shade) {
  constexpr int k_parts = 3;  // of a pixel, each way
  const double half_width = paper.width_mm() / 2, half_height = paper.height_mm() / 2;
  double left = 1e9, right = -1e9, top = 1e9, bottom = -1e9;
  for (int i = 0; i <= 8; ++i) {
    for (int j = 0; j <= 8; ++j) {
      const PointF p = pose.place({half_width * (i / 4.0 - 1), half_height * (j / 4.0 - 1)});
      left = std::min(left, p.x);
      right = std::max(right, p.x);
      top = std::min(top, p.y);
      bottom = std::max(bottom, p.y);
    }
  }
  const int x_end = std::min(canvas.width_px(), static_cast<int>(right) + 2);
  const int y_end = std::min(canvas.height_px(), static_cast<int>(bottom) + 2);
  for (int y = std::max(0, static_cast<int>(top) - 1); y < y_end; ++y) {
    for (int x = std::max(0, static_cast<int>(left) - 1); x < x_end; ++x) {
      const PointPaper middle = pose.unplace({x + 0.5, y + 0.5});
      if (std::abs(middle.x_mm) > half_width + 1 || std::abs(middle.y_mm) > half_height + 1) continue;
      const PointPaper ahead = pose.unplace({x + 1.5, y + 0.5});
      const PointPaper below = pose.unplace({x + 0.5, y + 1.5});
      float light = 0, covered = 0;
      for (int j = 0; j < k_parts; ++j) {
        for (int i = 0; i < k_parts; ++i) {
          const double fx = (i + 0.5) / k_parts - 0.5, fy = (j + 0.5) / k_parts - 0.5;
          const PointPaper p{middle.x_mm + fx * (ahead.x_mm - middle.x_mm) + fy * (below.x_mm - middle.x_mm),
                             middle.y_mm + fx * (ahead.y_mm - middle.y_mm) + fy * (below.y_mm - middle.y_mm)};
          if (std::abs(p.x_mm) > half_width || std::abs(p.y_mm) > half_height) continue;
          light += paper.light(p, k_parts * pose.px_per_mm);
          covered += 1;
        }
      }
      if (covered <= 0) continue;
      const Colour print = mix(look.ink, look.paper, light / covered) * shade(x, y);
      Colour& pixel = canvas.at(x, y);
      pixel = mix(pixel, print, covered / (k_parts * k_parts));
    }
  }
}

}  // namespace sherdmark::scenes
