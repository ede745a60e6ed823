#include "scenes/foreign_text.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "scenes/canvas.h"
#include "sherdmark/base/units.h"

namespace sherdmark::scenes {
namespace {

constexpr double k_width_mm = 60, k_height_mm = 40;

class Sheet {
 public:
  Sheet(const Typeface& face, double px_per_mm, RandomSource& random)
      : face_{face},
        scale_{px_per_mm},
        random_{random},
        picture_{static_cast<int>(k_width_mm * px_per_mm), static_cast<int>(k_height_mm * px_per_mm), 212} {}

  [[nodiscard]] double any(double from, double to) const {
    return from + (to - from) * static_cast<double>(random_.below(10'001)) / 10'000;
  }
  [[nodiscard]] int below(int most) const { return static_cast<int>(random_.below(static_cast<std::uint64_t>(most))); }

  void box(double x_mm, double y_mm, double w_mm, double h_mm, std::uint8_t grey) {
    const int left = px(x_mm), top = px(y_mm);
    for (int y = std::max(0, top); y < std::min(picture_.height_px(), std::max(top + 1, px(y_mm + h_mm))); ++y)
      for (int x = std::max(0, left); x < std::min(picture_.width_px(), std::max(left + 1, px(x_mm + w_mm))); ++x)
        picture_.row(y)[x] = grey;
  }

  // Baseline at y; returns where the text ends.
  double text(double x_mm, double y_mm, double pt, const std::string& words, double ink = 0.85) {
    const double em_px = pt_to_mm(pt) * scale_;
    double pen = x_mm * scale_;
    for (const char letter : words) {
      const Typeface::GlyphPicture glyph = face_.draw_glyph(static_cast<unsigned char>(letter), em_px);
      const int left = static_cast<int>(pen), top = static_cast<int>(y_mm * scale_ - glyph.baseline_px);
      for (int y = std::max(0, -top); y < std::min(glyph.ink.height_px(), picture_.height_px() - top); ++y)
        for (int x = std::max(0, -left); x < std::min(glyph.ink.width_px(), picture_.width_px() - left); ++x) {
          std::uint8_t& pixel = picture_.row(top + y)[left + x];
          pixel = static_cast<std::uint8_t>(pixel * (1 - ink * glyph.ink.row(y)[x] / 255.0));
        }
      pen += glyph.advance_px;
    }
    return pen / scale_;
  }

  GreyPicture taken() {
    GreyPicture out = picture_;
    for (int y = 1; y + 1 < out.height_px(); ++y)
      for (int x = 1; x + 1 < out.width_px(); ++x) {
        int sum = 8;
        for (int dy = -1; dy <= 1; ++dy)
          for (int dx = -1; dx <= 1; ++dx)
            sum += picture_.row(y + dy)[x + dx] * (2 - std::abs(dx)) * (2 - std::abs(dy));
        out.row(y)[x] = static_cast<std::uint8_t>(std::clamp(sum / 16 + below(9) - 4, 0, 255));
      }
    return out;
  }

 private:
  [[nodiscard]] int px(double mm) const { return static_cast<int>(std::lround(mm * scale_)); }

  const Typeface& face_;
  double scale_;
  RandomSource& random_;
  GreyPicture picture_;
};

std::string digits(Sheet& sheet, int count) {
  std::string text;
  for (int i = 0; i < count; ++i) text += static_cast<char>('0' + sheet.below(10));
  return text;
}

// Ticks on a long line, the numbers above it at the place where a label has its text.
void draw_ruler(Sheet& sheet) {
  const double y = sheet.any(10, 30), pt = sheet.any(4.5, 6), line = sheet.any(0.12, 0.2);
  sheet.box(1, y, k_width_mm - 2, line, 30);
  const double step = sheet.any(5, 10);
  const int first = sheet.below(90);
  for (int i = 0; 2 + i * step < k_width_mm - 4; ++i) {
    sheet.box(2 + i * step, y, line, 1.6, 30);
    sheet.text(2 + i * step, y - 0.3 * pt_to_mm(pt), pt, std::to_string(first + i));
  }
}

void draw_scale_bar(Sheet& sheet) {
  const double y = sheet.any(8, 28), part = sheet.any(4, 10);
  for (int i = 0; i < 5; ++i) {
    sheet.box(4 + i * part, y, part, 1.2, i % 2 == 0 ? 30 : 205);
    sheet.text(4 + i * part, y - 0.6, sheet.any(4.5, 6), std::to_string(i * 10));
  }
  sheet.box(4, y + 1.2, 5 * part, 0.15, 30);
  sheet.text(4 + 5 * part + 1, y + 1, 5, "cm");
}

void draw_colour_card(Sheet& sheet) {
  for (int row = 0; row < 3; ++row)
    for (int column = 0; column < 6; ++column) {
      const double x = 3 + column * 9.2, y = 3 + row * 12.0;
      sheet.box(x, y, 8, 8, static_cast<std::uint8_t>(30 + sheet.below(200)));
      sheet.text(x, y + 10, 5, digits(sheet, 1 + sheet.below(3)) + "-" + digits(sheet, 2));
      sheet.box(x, y + 10 + 0.3 * pt_to_mm(5), sheet.any(3, 8), 0.15, 30);
    }
}

void draw_newsprint(Sheet& sheet) {
  const double pt = sheet.any(5, 8);
  for (double y = 4; y < k_height_mm - 2; y += 1.35 * pt_to_mm(pt)) {
    for (double x = 2; x < k_width_mm - 8;) {
      std::string word;
      const int length = 2 + sheet.below(8);
      for (int i = 0; i < length; ++i)
        word +=
            sheet.below(6) == 0 ? static_cast<char>('0' + sheet.below(10)) : static_cast<char>('a' + sheet.below(26));
      const double end = sheet.text(x, y, pt, word);
      if (sheet.below(6) == 0) sheet.box(x, y + 0.3 * pt_to_mm(pt), end - x, 0.15, 30);
      x = end + 0.4 * pt_to_mm(pt);
    }
  }
}

// A number in ink on a body, uneven, above a drawn line that is longer than it.
void draw_ink_number(Sheet& sheet) {
  for (int i = 0; i < 3; ++i) {
    const double x = sheet.any(3, 20), y = 8 + i * 12.0, pt = sheet.any(5, 9);
    double pen = x;
    for (const char digit : digits(sheet, 4) + "-" + digits(sheet, 3) + "-" + digits(sheet, 2))
      pen = sheet.text(pen + sheet.any(-0.1, 0.3), y + sheet.any(-0.25, 0.25), pt * sheet.any(0.9, 1.1),
                       std::string(1, digit), sheet.any(0.5, 0.9));
    if (sheet.below(2) == 0) sheet.box(x - sheet.any(0.5, 2), y + 0.6, pen - x + sheet.any(1, 4), 0.15, 60);
  }
}

// A table: cells with numbers of the shape of ours on lines that run on beyond them.
void draw_form(Sheet& sheet) {
  for (double y = 5; y < k_height_mm - 2; y += 4) {
    sheet.box(2, y + 0.3 * pt_to_mm(5), k_width_mm - 4, 0.15, 30);
    for (double x = 3; x < k_width_mm - 16; x += 18)
      sheet.text(x, y, 5, digits(sheet, 4) + "-" + digits(sheet, 3) + "-" + digits(sheet, 2));
  }
}

}  // namespace

std::string_view to_text(ForeignKind kind) {
  switch (kind) {
    case ForeignKind::ruler:
      return "ruler";
    case ForeignKind::scale_bar:
      return "scale bar";
    case ForeignKind::colour_card:
      return "colour card";
    case ForeignKind::newsprint:
      return "newsprint";
    case ForeignKind::ink_number:
      return "ink numbers";
    case ForeignKind::form:
      return "form with lines";
  }
  return "ruler";
}

GreyPicture foreign_text(ForeignKind kind, const Typeface& face, double px_per_mm, RandomSource& random) {
  Sheet sheet{face, px_per_mm, random};
  switch (kind) {
    case ForeignKind::ruler:
      draw_ruler(sheet);
      break;
    case ForeignKind::scale_bar:
      draw_scale_bar(sheet);
      break;
    case ForeignKind::colour_card:
      draw_colour_card(sheet);
      break;
    case ForeignKind::newsprint:
      draw_newsprint(sheet);
      break;
    case ForeignKind::ink_number:
      draw_ink_number(sheet);
      break;
    case ForeignKind::form:
      draw_form(sheet);
      break;
  }
  return sheet.taken();
}

}  // namespace sherdmark::scenes
