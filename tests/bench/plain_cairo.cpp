// The peer of label sheets: the same number of lines of text and rules, drawn with Cairo and nothing else.
//   plain_cairo LABELS FILE.pdf
#include <cairo-pdf.h>

#include <cstdio>
#include <cstdlib>
#include <string>

int main(int argc, char** argv) {
  if (argc != 3) return 2;
  const int labels = std::atoi(argv[1]);
  constexpr double k_width_pt = 612;
  constexpr double k_height_pt = 792;
  constexpr double k_margin_pt = 36;
  constexpr double k_column_pt = 40;
  constexpr double k_row_pt = 12;
  cairo_surface_t* surface = cairo_pdf_surface_create(argv[2], k_width_pt, k_height_pt);
  cairo_t* cairo = cairo_create(surface);
  cairo_select_font_face(cairo, "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
  cairo_set_font_size(cairo, 5);
  double x = k_margin_pt;
  double y = k_margin_pt;
  for (int i = 0; i < labels; ++i) {
    const std::string text = "16ZQ5/" + std::to_string(i / 50 + 1) + "." + std::to_string(i % 50 + 1);
    cairo_move_to(cairo, x, y);
    cairo_show_text(cairo, text.c_str());
    cairo_text_extents_t extents;
    cairo_text_extents(cairo, text.c_str(), &extents);
    cairo_rectangle(cairo, x, y + 1, extents.x_advance, 0.4);
    cairo_fill(cairo);
    x += k_column_pt;
    if (x + k_column_pt < k_width_pt - k_margin_pt) continue;
    x = k_margin_pt;
    y += k_row_pt;
    if (y + k_row_pt < k_height_pt - k_margin_pt) continue;
    y = k_margin_pt;
    cairo_show_page(cairo);
  }
  cairo_destroy(cairo);
  cairo_surface_finish(surface);
  const bool good = cairo_surface_status(surface) == CAIRO_STATUS_SUCCESS;
  cairo_surface_destroy(surface);
  return good ? 0 : 1;
}
