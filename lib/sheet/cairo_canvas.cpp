#include <cairo-pdf.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <exception>
#include <memory>
#include <numbers>
#include <utility>
#include <vector>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "sherdmark/sheet/canvas.h"

namespace sherdmark {
namespace {

// PDF paths are kept in 1/256 pt. A module's edge that came to lie a hair over a dot's edge would switch the next dot
// on in a printer that prints every dot it touches; so edges are drawn in by this much.
constexpr double k_inset_pt = 1.0 / 256.0;
constexpr const char* k_fixed_date = "2000-01-01T00:00:00Z";

struct SurfaceDeleter {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};
using Surface = std::unique_ptr<cairo_surface_t, SurfaceDeleter>;
struct ContextDeleter {
  void operator()(cairo_t* context) const { cairo_destroy(context); }
};
using Context = std::unique_ptr<cairo_t, ContextDeleter>;
struct GlyphDeleter {
  void operator()(cairo_glyph_t* glyphs) const { cairo_glyph_free(glyphs); }
};

void check(cairo_status_t status) {
  if (status == CAIRO_STATUS_SUCCESS) return;
  throw environment_error(fmt::format("drawing failed: {}.", cairo_status_to_string(status)), {},
                          "Free memory or disk space, then try again.");
}

// Position on the page → position sent to the printer, so that what comes out lies where it should. The printer turns
// what it prints by `skew_deg` clockwise and stretches it by the scales, about the top left corner.
cairo_matrix_t correction(const PrinterDescription& printer) {
  const double angle = printer.skew_deg * std::numbers::pi / 180.0;
  cairo_matrix_t matrix;
  cairo_matrix_init(&matrix, std::cos(angle), std::sin(angle), -std::sin(angle), std::cos(angle), 0, 0);
  cairo_matrix_t scale;
  cairo_matrix_init_scale(&scale, printer.scale_x, printer.scale_y);
  cairo_matrix_multiply(&matrix, &scale, &matrix);  // what the printer does: scale, then turn
  check(cairo_matrix_invert(&matrix));
  return matrix;
}

class CairoCanvas final : public Canvas {
 public:
  CairoCanvas(cairo_t* context, const PrinterDescription& printer)
      : context_(context), dpi_(printer.dpi), correction_(correction(printer)) {
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    cairo_set_font_options(context_, options);
    cairo_font_options_destroy(options);
  }

  void rectangles(std::span<const RectMm> boxes) override {
    const Corrected corrected{*this};
    for (const RectMm& box : boxes)
      cairo_rectangle(context_, mm_to_pt(box.x_mm), mm_to_pt(box.y_mm), mm_to_pt(box.w_mm), mm_to_pt(box.h_mm));
    cairo_fill(context_);
  }

  void tinted(std::span<const RectMm> boxes, double ink) override {
    cairo_save(context_);
    cairo_set_source_rgba(context_, 0, 0, 0, std::clamp(ink, 0.0, 1.0));
    rectangles(boxes);
    cairo_restore(context_);
  }

  void polygon(std::span<const PointMm> corners) override {
    const Corrected corrected{*this};
    for (const PointMm& corner : corners) cairo_line_to(context_, mm_to_pt(corner.x_mm), mm_to_pt(corner.y_mm));
    cairo_close_path(context_);
    cairo_fill(context_);
  }

  // Not scaled or turned with the page: the module is a whole number of the printer's own dots.
  void symbol(const SymbolMatrix& matrix, PointMm first_module, int module_dots) override {
    double x_pt = mm_to_pt(first_module.x_mm);
    double y_pt = mm_to_pt(first_module.y_mm);
    cairo_matrix_transform_point(&correction_, &x_pt, &y_pt);
    const double dot_pt = k_pt_per_inch / dpi_;
    const double left = std::round(x_pt / dot_pt);
    const double top = std::round(y_pt / dot_pt);
    const auto bar = [&](int x, int y, int columns, int rows) {
      cairo_rectangle(context_, (left + x * module_dots) * dot_pt + k_inset_pt,
                      (top + y * module_dots) * dot_pt + k_inset_pt, columns * module_dots * dot_pt - 2 * k_inset_pt,
                      rows * module_dots * dot_pt - 2 * k_inset_pt);
    };
    for (int y = 0; y < matrix.height_modules; ++y)
      for (int x = 0; x < matrix.width_modules; ++x)
        if (matrix.is_dark(x, y) && (x == 0 || !matrix.is_dark(x - 1, y))) bar(x, y, run_right(matrix, x, y), 1);
    // Upright bars close the seams that the inset left between the rows.
    for (int x = 0; x < matrix.width_modules; ++x)
      for (int y = 0; y < matrix.height_modules; ++y)
        if (matrix.is_dark(x, y) && (y == 0 || !matrix.is_dark(x, y - 1)))
          if (const int rows = run_down(matrix, x, y); rows > 1) bar(x, y, 1, rows);
    cairo_set_fill_rule(context_, CAIRO_FILL_RULE_WINDING);
    cairo_fill(context_);
  }

  void exact_line(const Typeface& face, double size_pt, PointMm pen, std::u32string_view line) override {
    const Corrected corrected{*this};
    cairo_set_font_face(context_, static_cast<cairo_font_face_t*>(face.native_handle()));
    cairo_set_font_size(context_, size_pt);
    const std::string utf8 = encode_utf8(line);
    cairo_glyph_t* glyphs = nullptr;
    cairo_text_cluster_t* clusters = nullptr;
    int glyph_count = 0;
    int cluster_count = 0;
    cairo_text_cluster_flags_t flags{};
    check(cairo_scaled_font_text_to_glyphs(cairo_get_scaled_font(context_), 0, 0, utf8.data(),
                                           static_cast<int>(utf8.size()), &glyphs, &glyph_count, &clusters,
                                           &cluster_count, &flags));
    const std::unique_ptr<cairo_glyph_t, GlyphDeleter> owner{glyphs};
    if (static_cast<std::size_t>(glyph_count) != line.size()) {
      cairo_text_cluster_free(clusters);
      throw internal_error("a line of exact text has glyphs that are not one a character.");
    }
    double x_pt = mm_to_pt(pen.x_mm);
    for (int i = 0; i < glyph_count; ++i) {
      glyphs[i].x = x_pt;
      glyphs[i].y = mm_to_pt(pen.y_mm);
      x_pt += face.advance_em(line[static_cast<std::size_t>(i)]) * size_pt;
    }
    cairo_show_text_glyphs(context_, utf8.data(), static_cast<int>(utf8.size()), glyphs, glyph_count, clusters,
                           cluster_count, flags);
    cairo_text_cluster_free(clusters);
  }

  void paragraph(const TextStyle& style, std::string_view text, PointMm top_left, double width_mm) override {
    const Corrected corrected{*this};
    cairo_move_to(context_, mm_to_pt(top_left.x_mm), mm_to_pt(top_left.y_mm));
    text_.draw(context_, style, text, width_mm);
    cairo_new_path(context_);
  }

 private:
  // Everything but symbols is drawn through the printer's correction.
  class Corrected {
   public:
    explicit Corrected(CairoCanvas& canvas) : context_(canvas.context_) {
      cairo_save(context_);
      cairo_transform(context_, &canvas.correction_);
    }
    ~Corrected() { cairo_restore(context_); }
    Corrected(const Corrected&) = delete;
    Corrected& operator=(const Corrected&) = delete;
    Corrected(Corrected&&) = delete;
    Corrected& operator=(Corrected&&) = delete;

   private:
    cairo_t* context_;
  };

  static int run_right(const SymbolMatrix& matrix, int x, int y) {
    int end = x;
    while (end < matrix.width_modules && matrix.is_dark(end, y)) ++end;
    return end - x;
  }
  static int run_down(const SymbolMatrix& matrix, int x, int y) {
    int end = y;
    while (end < matrix.height_modules && matrix.is_dark(x, end)) ++end;
    return end - y;
  }

  cairo_t* context_;
  double dpi_;
  cairo_matrix_t correction_;
  RunningText text_;
};

// The sink may throw; C code in between must not see it.
struct SinkState {
  const ByteSink* sink = nullptr;
  std::exception_ptr thrown;
};

cairo_status_t write_to_sink(void* closure, const unsigned char* data, unsigned int length) {
  auto* state = static_cast<SinkState*>(closure);
  if (state->thrown) return CAIRO_STATUS_WRITE_ERROR;
  try {
    (*state->sink)(std::as_bytes(std::span{data, length}));
    return CAIRO_STATUS_SUCCESS;
  } catch (...) {
    state->thrown = std::current_exception();
    return CAIRO_STATUS_WRITE_ERROR;
  }
}

double up_to_dots(double mm, int dpi) { return dots_to_mm(std::ceil(mm_to_dots(mm, dpi) - 1e-6), dpi); }

}  // namespace

PaperSize whole_dots(double width_mm, double height_mm, int dpi) {
  return {up_to_dots(width_mm, dpi), up_to_dots(height_mm, dpi)};
}

void write_pdf(const PaperSize& paper, const PrinterDescription& printer, int pages, const std::string& title,
               const DrawPage& draw, const ByteSink& sink) {
  SinkState state{&sink, nullptr};
  const Surface surface{
      cairo_pdf_surface_create_for_stream(write_to_sink, &state, mm_to_pt(paper.width_mm), mm_to_pt(paper.height_mm))};
  check(cairo_surface_status(surface.get()));
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, title.c_str());
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, k_fixed_date);
  try {
    const Context context{cairo_create(surface.get())};
    CairoCanvas canvas{context.get(), printer};
    for (int page = 1; page <= pages && !state.thrown; ++page) {
      draw(canvas, page);
      cairo_show_page(context.get());
      if (!state.thrown) check(cairo_status(context.get()));
    }
  } catch (...) {
    if (!state.thrown) state.thrown = std::current_exception();  // nothing more goes to the sink
  }
  cairo_surface_finish(surface.get());
  if (state.thrown) std::rethrow_exception(state.thrown);
  check(cairo_surface_status(surface.get()));
}

GreyPicture draw_grey(const PaperSize& paper, const PrinterDescription& printer, double dpi, int page,
                      const DrawPage& draw) {
  const int width = static_cast<int>(std::ceil(mm_to_dots(paper.width_mm, dpi) - 1e-6));
  const int height = static_cast<int>(std::ceil(mm_to_dots(paper.height_mm, dpi) - 1e-6));
  const Surface surface{cairo_image_surface_create(CAIRO_FORMAT_A8, width, height)};
  check(cairo_surface_status(surface.get()));
  {
    const Context context{cairo_create(surface.get())};
    cairo_scale(context.get(), dpi / k_pt_per_inch, dpi / k_pt_per_inch);
    CairoCanvas canvas{context.get(), printer};
    draw(canvas, page);
    check(cairo_status(context.get()));
  }
  cairo_surface_flush(surface.get());
  GreyPicture picture{width, height};
  const unsigned char* ink = cairo_image_surface_get_data(surface.get());
  const int stride = cairo_image_surface_get_stride(surface.get());
  for (int y = 0; y < height; ++y) {
    std::uint8_t* row = picture.row(y);
    const unsigned char* from = ink + static_cast<std::ptrdiff_t>(y) * stride;
    for (int x = 0; x < width; ++x) row[x] = static_cast<std::uint8_t>(255 - from[x]);
  }
  return picture;
}

}  // namespace sherdmark
