#include "report/mark_canvas.h"

#include <cairo.h>

#include <array>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <vector>

#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

constexpr int k_most_side_px = 32767;  // Cairo's own limit

void check(cairo_status_t status) {
  if (status == CAIRO_STATUS_SUCCESS) return;
  throw environment_error(std::string{"a marked picture could not be drawn: "} + cairo_status_to_string(status), {},
                          "Free some memory, or check fewer pictures at once.");
}

}  // namespace

struct MarkCanvas::Impl {
  cairo_surface_t* surface = nullptr;
  cairo_t* context = nullptr;

  Impl() = default;
  Impl(const Impl&) = delete;
  Impl& operator=(const Impl&) = delete;
  ~Impl() {
    cairo_destroy(context);
    cairo_surface_destroy(surface);
  }
  void use(const Ink& ink) const { cairo_set_source_rgba(context, ink.red, ink.green, ink.blue, ink.opacity); }
};

MarkCanvas::MarkCanvas(int width_px, int height_px) : impl_(std::make_unique<Impl>()) {
  if (width_px < 1 || height_px < 1 || width_px > k_most_side_px || height_px > k_most_side_px)
    throw data_error("the picture is empty or too large to draw on.", {}, "Use a smaller picture.");
  impl_->surface = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, width_px, height_px);
  check(cairo_surface_status(impl_->surface));
  impl_->context = cairo_create(impl_->surface);
  check(cairo_status(impl_->context));
  impl_->use({1, 1, 1});
  cairo_paint(impl_->context);
  cairo_set_line_join(impl_->context, CAIRO_LINE_JOIN_ROUND);
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);  // text is as wide as Typeface says
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  cairo_set_font_options(impl_->context, options);
  cairo_font_options_destroy(options);
}

MarkCanvas::~MarkCanvas() = default;

void MarkCanvas::paint(const ColourPicture& picture, int top_px) {
  cairo_surface_flush(impl_->surface);
  unsigned char* pixels = cairo_image_surface_get_data(impl_->surface);
  const std::ptrdiff_t stride = cairo_image_surface_get_stride(impl_->surface);
  const int width = std::min(picture.width_px, cairo_image_surface_get_width(impl_->surface));
  const int height = std::min(picture.height_px, cairo_image_surface_get_height(impl_->surface) - top_px);
  for (int y = 0; y < height; ++y) {
    const std::uint8_t* from = picture.rgb.data() + static_cast<std::ptrdiff_t>(y) * picture.width_px * 3;
    unsigned char* to = pixels + (y + top_px) * stride;
    for (int x = 0; x < width; ++x, from += 3, to += 4) {
      const std::uint32_t pixel =
          0xFF000000U | (std::uint32_t{from[0]} << 16U) | (std::uint32_t{from[1]} << 8U) | from[2];
      std::memcpy(to, &pixel, 4);
    }
  }
  cairo_surface_mark_dirty(impl_->surface);
}

void MarkCanvas::fill(const BoxPx& box, const Ink& ink) {
  impl_->use(ink);
  cairo_rectangle(impl_->context, box.x, box.y, box.w, box.h);
  cairo_fill(impl_->context);
}

void MarkCanvas::fill_disc(const PointF& centre, double radius_px, const Ink& ink) {
  impl_->use(ink);
  cairo_arc(impl_->context, centre.x, centre.y, radius_px, 0, 2 * M_PI);
  cairo_fill(impl_->context);
}

void MarkCanvas::line(std::span<const PointF> points, bool closed, double width_px, const Ink& ink, Stroke stroke) {
  impl_->use(ink);
  cairo_set_line_width(impl_->context, width_px);
  cairo_set_line_cap(impl_->context, stroke == Stroke::dashed ? CAIRO_LINE_CAP_BUTT : CAIRO_LINE_CAP_ROUND);
  const std::array<double, 2> dashes{width_px * 4, width_px * 3};
  cairo_set_dash(impl_->context, dashes.data(), stroke == Stroke::dashed ? 2 : 0, 0);
  for (const PointF& point : points) cairo_line_to(impl_->context, point.x, point.y);
  if (closed) cairo_close_path(impl_->context);
  cairo_stroke(impl_->context);
}

void MarkCanvas::arc(const PointF& centre, double radius_px, double from_rad, double to_rad, double width_px,
                     const Ink& ink) {
  impl_->use(ink);
  cairo_set_line_width(impl_->context, width_px);
  cairo_set_line_cap(impl_->context, CAIRO_LINE_CAP_ROUND);
  cairo_set_dash(impl_->context, nullptr, 0, 0);
  cairo_arc(impl_->context, centre.x, centre.y, radius_px, from_rad, to_rad);
  cairo_stroke(impl_->context);
}

void MarkCanvas::text(const Typeface& face, double size_px, const PointF& pen, const Ink& ink,
                      const std::string& line) {
  impl_->use(ink);
  cairo_set_font_face(impl_->context, static_cast<cairo_font_face_t*>(face.native_handle()));
  cairo_set_font_size(impl_->context, size_px);
  cairo_move_to(impl_->context, pen.x, pen.y);
  cairo_show_text(impl_->context, line.c_str());
  cairo_new_path(impl_->context);
}

ColourPicture MarkCanvas::take() const {
  check(cairo_status(impl_->context));
  cairo_surface_flush(impl_->surface);
  ColourPicture picture;
  picture.width_px = cairo_image_surface_get_width(impl_->surface);
  picture.height_px = cairo_image_surface_get_height(impl_->surface);
  picture.rgb.resize(static_cast<std::size_t>(picture.width_px) * static_cast<std::size_t>(picture.height_px) * 3);
  const unsigned char* pixels = cairo_image_surface_get_data(impl_->surface);
  const std::ptrdiff_t stride = cairo_image_surface_get_stride(impl_->surface);
  std::uint8_t* to = picture.rgb.data();
  for (int y = 0; y < picture.height_px; ++y)
    for (int x = 0; x < picture.width_px; ++x, to += 3) {
      std::uint32_t pixel = 0;
      std::memcpy(&pixel, pixels + y * stride + x * 4, 4);
      to[0] = static_cast<std::uint8_t>(pixel >> 16U);
      to[1] = static_cast<std::uint8_t>(pixel >> 8U);
      to[2] = static_cast<std::uint8_t>(pixel);
    }
  return picture;
}

}  // namespace sherdmark
