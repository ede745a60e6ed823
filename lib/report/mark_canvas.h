// What marked pictures are drawn with: filled shapes, outlines and one line of text, in pixels. Cairo lives behind it.
#pragma once

#include <memory>
#include <span>
#include <string>

#include "sherdmark/base/picture.h"
#include "sherdmark/type/typeface.h"

namespace sherdmark {

struct Ink {
  double red = 0;
  double green = 0;
  double blue = 0;
  double opacity = 1;
};

struct BoxPx {
  double x = 0;
  double y = 0;
  double w = 0;
  double h = 0;
};

enum class Stroke { solid, dashed };

class MarkCanvas {
 public:
  // White. Throws data_error when the picture is too large to draw on.
  MarkCanvas(int width_px, int height_px);
  ~MarkCanvas();
  MarkCanvas(const MarkCanvas&) = delete;
  MarkCanvas& operator=(const MarkCanvas&) = delete;

  void paint(const ColourPicture& picture, int top_px);
  void fill(const BoxPx& box, const Ink& ink);
  void fill_disc(const PointF& centre, double radius_px, const Ink& ink);
  void line(std::span<const PointF> points, bool closed, double width_px, const Ink& ink,
            Stroke stroke = Stroke::solid);
  void arc(const PointF& centre, double radius_px, double from_rad, double to_rad, double width_px, const Ink& ink);
  void text(const Typeface& face, double size_px, const PointF& pen, const Ink& ink, const std::string& line);
  [[nodiscard]] ColourPicture take() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace sherdmark
