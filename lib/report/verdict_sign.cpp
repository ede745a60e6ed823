#include "report/verdict_sign.h"

#include <array>
#include <cmath>

#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

constexpr Ink k_white{1, 1, 1};

struct Pen {
  MarkCanvas& canvas;
  PointF centre;
  double radius;
  double width;

  [[nodiscard]] PointF at(double x, double y) const { return {centre.x + x * radius, centre.y + y * radius}; }
  template <std::size_t N>
  void line(const std::array<PointF, N>& points, bool closed = false) const {
    canvas.line(points, closed, width, k_white);
  }
};

void tick(const Pen& pen) { pen.line(std::array{pen.at(-0.5, 0.02), pen.at(-0.12, 0.42), pen.at(0.52, -0.4)}); }

void cross(const Pen& pen) {
  pen.line(std::array{pen.at(-0.42, -0.42), pen.at(0.42, 0.42)});
  pen.line(std::array{pen.at(0.42, -0.42), pen.at(-0.42, 0.42)});
}

void question_mark(const Pen& pen) {
  pen.canvas.arc(pen.at(0, -0.22), 0.32 * pen.radius, -M_PI, M_PI / 2, pen.width, k_white);
  pen.line(std::array{pen.at(0, 0.1), pen.at(0, 0.28)});
  pen.canvas.fill_disc(pen.at(0, 0.58), pen.width * 0.62, k_white);
}

void crossed_out_eye(const Pen& pen) {
  pen.canvas.arc(pen.at(0, 0.48), 0.78 * pen.radius, -M_PI * 0.82, -M_PI * 0.18, pen.width * 0.7, k_white);
  pen.canvas.arc(pen.at(0, -0.48), 0.78 * pen.radius, M_PI * 0.18, M_PI * 0.82, pen.width * 0.7, k_white);
  pen.canvas.fill_disc(pen.at(0, 0), pen.radius * 0.17, k_white);
  pen.line(std::array{pen.at(-0.5, 0.5), pen.at(0.5, -0.5)});
}

void clock(const Pen& pen) {
  pen.canvas.arc(pen.at(0, 0), 0.58 * pen.radius, 0, 2 * M_PI, pen.width * 0.8, k_white);
  pen.line(std::array{pen.at(0, -0.36), pen.at(0, 0), pen.at(0.24, 0.14)});
}

void broken_ring(const Pen& pen) {
  pen.canvas.arc(pen.at(0, 0), 0.56 * pen.radius, M_PI * 0.1, M_PI * 1.4, pen.width, k_white);
}

void arrow_out_of_a_box(const Pen& pen) {
  pen.line(std::array{pen.at(-0.02, -0.42), pen.at(-0.5, -0.42), pen.at(-0.5, 0.42), pen.at(-0.02, 0.42)});
  pen.line(std::array{pen.at(-0.2, 0), pen.at(0.55, 0)});
  pen.line(std::array{pen.at(0.28, -0.27), pen.at(0.55, 0), pen.at(0.28, 0.27)});
}

}  // namespace

Ink verdict_ink(Verdict verdict) {
  switch (verdict) {
    case Verdict::agree:
      return {0.0, 0.45, 0.32};
    case Verdict::disagree:
      return {0.74, 0.27, 0.0};
    case Verdict::unknown:
      return {0.0, 0.35, 0.60};
    case Verdict::unreadable:
      return {0.33, 0.33, 0.33};
    case Verdict::stale:
      return {0.58, 0.30, 0.50};
    case Verdict::incomplete:
      return {0.60, 0.42, 0.0};
    case Verdict::misplaced:
      return {0.10, 0.47, 0.65};
  }
  throw internal_error("a verdict without a colour");
}

void draw_verdict_sign(MarkCanvas& canvas, Verdict verdict, const PointF& centre, double radius_px) {
  canvas.fill_disc(centre, radius_px, verdict_ink(verdict));
  canvas.arc(centre, radius_px, 0, 2 * M_PI, radius_px * 0.07, k_white);
  const Pen pen{canvas, centre, radius_px, radius_px * 0.2};
  switch (verdict) {
    case Verdict::agree:
      tick(pen);
      return;
    case Verdict::disagree:
      cross(pen);
      return;
    case Verdict::unknown:
      question_mark(pen);
      return;
    case Verdict::unreadable:
      crossed_out_eye(pen);
      return;
    case Verdict::stale:
      clock(pen);
      return;
    case Verdict::incomplete:
      broken_ring(pen);
      return;
    case Verdict::misplaced:
      arrow_out_of_a_box(pen);
      return;
  }
}

}  // namespace sherdmark
