#include "sherdmark/report/marked_picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "report/count_words.h"
#include "report/mark_canvas.h"
#include "report/verdict_sign.h"
#include "report/verdict_words.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/identity.h"
#include "sherdmark/type/typeface.h"

namespace sherdmark {
namespace {

constexpr const char* k_font = "DejaVu Sans";
constexpr Ink k_white{1, 1, 1};
constexpr Ink k_black{0, 0, 0};
constexpr Ink k_banner{0.11, 0.11, 0.12};
constexpr Ink k_plate{0.08, 0.08, 0.09, 0.88};
constexpr Ink k_sure{0.20, 0.85, 1.0};
constexpr Ink k_unsure{1.0, 0.75, 0.0};
constexpr std::size_t k_most_lines = 9;  // of reasons in the banner

// Text that this font can show, on one line.
struct Lettering {
  Typeface face;
  double size_px;

  [[nodiscard]] std::u32string shown(const std::string& text) const {
    std::u32string characters = decode_utf8(printable(text)).value_or(U"?");
    for (char32_t& character : characters)
      if (!face.has(character)) character = U'?';
    return characters;
  }
  [[nodiscard]] double width(const std::string& text) const { return face.width_em(shown(text)) * size_px; }
  void draw(MarkCanvas& canvas, const PointF& pen, const Ink& ink, const std::string& text) const {
    canvas.text(face, size_px, pen, ink, encode_utf8(shown(text)));
  }
};

std::vector<std::string> wrap(const Lettering& letters, const std::string& text, double width_px) {
  std::vector<std::string> lines;
  std::string line;
  for (const std::string& word : split(text, ' ')) {
    const std::string longer = line.empty() ? word : fmt::format("{} {}", line, word);
    if (!line.empty() && letters.width(longer) > width_px) {
      lines.push_back(line);
      line = "   " + word;
    } else {
      line = longer;
    }
  }
  if (!line.empty()) lines.push_back(line);
  return lines;
}

std::vector<std::string> banner_lines(const Lettering& letters, const SetVerdict& verdict, double width_px) {
  std::vector<std::string> lines;
  std::size_t left_out = 0;
  for (const Reason& reason : verdict.reasons) {
    const auto wrapped = wrap(letters, "\xE2\x80\x93 " + group_identities(reason.text), width_px);
    if (lines.size() + wrapped.size() > k_most_lines && !lines.empty()) {
      ++left_out;
    } else {
      lines.insert(lines.end(), wrapped.begin(), wrapped.end());
    }
  }
  if (left_out > 0) lines.push_back("\xE2\x80\x93 and " + std::to_string(left_out) + " more.");
  for (const std::string& line : wrap(letters, not_tested(verdict), width_px)) lines.push_back(line);
  return lines;
}

std::string summary_of(const SetVerdict& verdict) {
  std::string text;
  if (verdict.bag) text += "bag " + group_identity(*verdict.bag) + "   ";
  if (verdict.number && verdict.number != verdict.bag) text += *verdict.number + "   ";
  text += std::to_string(verdict.seen) + " of " + std::to_string(verdict.expected) + " labels ";
  if (const std::size_t bags = bags_named(verdict).size(); bags > 1) text += "of " + std::to_string(bags) + " bags ";
  return text + "seen   evidence: " + std::string{to_text(verdict.evidence)};
}

std::string plate_text(const Reading& reading) {
  if (reading.newer_format) return "code of a newer version";
  const bool code = is_code(reading.source);
  if (!reading.sure) return std::string{code ? "code" : to_text(reading.role)} + ": not read surely";
  std::string text{to_text(reading.role)};
  if (reading.bag) text += " " + group_identity(*reading.bag);
  if (reading.place) text += " " + *reading.place;
  const bool shows_number = reading.number && !reading.number_is_opaque && reading.number != reading.bag;
  if (shows_number) text += (reading.bag || reading.place ? " \xC2\xB7 " : " ") + *reading.number;
  if (reading.micro_number && reading.micro_number != reading.number)
    text += " (small code: " + *reading.micro_number + ")";
  return text;
}

BoxPx box_round(const Corners& corners) {
  double left = corners[0].x;
  double right = left;
  double top = corners[0].y;
  double bottom = top;
  for (const PointF& corner : corners) {
    left = std::min(left, corner.x);
    right = std::max(right, corner.x);
    top = std::min(top, corner.y);
    bottom = std::max(bottom, corner.y);
  }
  return {left, top, right - left, bottom - top};
}

double common_area(const BoxPx& a, const BoxPx& b) {
  const double w = std::min(a.x + a.w, b.x + b.w) - std::max(a.x, b.x);
  const double h = std::min(a.y + a.h, b.y + b.h) - std::max(a.y, b.y);
  return w > 0 && h > 0 ? w * h : 0;
}

// Where a plate of this size covers least: above, below, right or left of its label, within the photograph.
BoxPx place_plate(const BoxPx& label, double w, double h, double gap, const BoxPx& photograph,
                  const std::vector<BoxPx>& taken) {
  const double middle_y = label.y + (label.h - h) / 2;
  const BoxPx candidates[] = {
      {label.x, label.y - h - gap, w, h},        {label.x, label.y + label.h + gap, w, h},
      {label.x + label.w + gap, middle_y, w, h}, {label.x - w - gap, middle_y, w, h},
      {label.x, label.y - 2 * (h + gap), w, h},  {label.x, label.y + label.h + h + 2 * gap, w, h}};
  BoxPx best{};
  double least = -1;
  for (BoxPx box : candidates) {
    box.x = std::clamp(box.x, photograph.x, std::max(photograph.x, photograph.x + photograph.w - w));
    box.y = std::clamp(box.y, photograph.y, std::max(photograph.y, photograph.y + photograph.h - h));
    double covered = 0;
    for (const BoxPx& other : taken) covered += common_area(box, other);
    if (least < 0 || covered < least) {
      best = box;
      least = covered;
    }
  }
  return best;
}

// Each side moved outwards, so that a thick line leaves what it surrounds to be read.
Corners widened(const Corners& corners, double by_px) {
  Corners wide = corners;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    for (const std::size_t other : {(i + 1) % 4, (i + 3) % 4}) {
      const double dx = corners[i].x - corners[other].x;
      const double dy = corners[i].y - corners[other].y;
      const double length = std::hypot(dx, dy);
      if (length <= 0) continue;
      wide[i].x += dx / length * by_px;
      wide[i].y += dy / length * by_px;
    }
  }
  return wide;
}

struct Marker {
  MarkCanvas& canvas;
  const Lettering& letters;
  BoxPx photograph;
  std::vector<BoxPx> taken{};

  void outline(const Reading& reading, const Corners& corners) {
    const double width = std::max(2.0, letters.size_px * 0.16);
    const Stroke stroke = reading.sure ? Stroke::solid : Stroke::dashed;
    const Corners round = widened(corners, width);
    canvas.line(round, true, width * 2, k_black, Stroke::solid);
    canvas.line(round, true, width, reading.sure ? k_sure : k_unsure, stroke);
  }

  void plate(const Reading& reading, const BoxPx& label) {
    const std::string text = plate_text(reading);
    const double pad = letters.size_px * 0.35;
    const double w = letters.width(text) + 2 * pad;
    const double h = letters.size_px * 1.25 + pad;
    const BoxPx box = place_plate(label, w, h, pad, photograph, taken);
    canvas.fill(box, k_plate);
    canvas.fill({box.x, box.y, pad * 0.45, box.h}, reading.sure ? k_sure : k_unsure);
    letters.draw(canvas, {box.x + pad, box.y + h * 0.72}, k_white, text);
    taken.push_back(box);
  }
};

void draw_marks(MarkCanvas& canvas, const Lettering& letters, const BoxPx& photograph, const SetVerdict& verdict,
                const std::string& image, int page) {
  Marker marker{canvas, letters, photograph};
  std::vector<std::pair<const Reading*, Corners>> here;
  for (const Reading& reading : verdict.readings) {
    if (reading.image != image || reading.page != page || !reading.corners) continue;
    Corners corners = *reading.corners;
    for (PointF& corner : corners) corner.y += photograph.y;
    here.emplace_back(&reading, corners);
    marker.taken.push_back(box_round(corners));
  }
  for (const auto& [reading, corners] : here) marker.outline(*reading, corners);
  for (const auto& [reading, corners] : here) marker.plate(*reading, box_round(corners));
}

}  // namespace

ColourPicture mark_picture(const ColourPicture& photograph, const SetVerdict& verdict, const std::string& image,
                           int page) {
  const double size = std::clamp(std::max(photograph.width_px, photograph.height_px) / 80.0, 11.0, 80.0);
  const Lettering letters{Typeface::find(k_font), size};
  const Lettering word{Typeface::find(k_font, true), size * 1.9};
  const double pad = size * 0.8;
  const double radius = size * 1.7;
  const double text_left = 2 * pad + 2 * radius;
  const std::vector<std::string> lines = banner_lines(letters, verdict, photograph.width_px - text_left - pad);
  const double line_height = size * 1.4;
  const double head = pad + word.size_px + line_height;
  const int banner = static_cast<int>(
      std::ceil(std::max(head + line_height * static_cast<double>(lines.size()) + pad, 2 * (pad + radius))));

  MarkCanvas canvas{photograph.width_px, photograph.height_px + banner};
  canvas.paint(photograph, banner);
  const auto width = static_cast<double>(photograph.width_px);
  draw_marks(canvas, letters, {0, static_cast<double>(banner), width, static_cast<double>(photograph.height_px)},
             verdict, image, page);
  canvas.fill({0, 0, width, static_cast<double>(banner)}, k_banner);
  canvas.fill({0, banner - size * 0.3, width, size * 0.3}, verdict_ink(verdict.verdict));
  draw_verdict_sign(canvas, verdict.verdict, {pad + radius, pad + radius}, radius);
  double y = pad + word.size_px * 0.8;
  word.draw(canvas, {text_left, y}, k_white, to_upper_ascii(to_text(verdict.verdict)));
  y += line_height * 1.15;
  letters.draw(canvas, {text_left, y}, {0.82, 0.86, 0.9}, summary_of(verdict));
  for (const std::string& line : lines) letters.draw(canvas, {text_left, y += line_height}, k_white, line);
  return canvas.take();
}

}  // namespace sherdmark
