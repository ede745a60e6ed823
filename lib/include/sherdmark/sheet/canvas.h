// What a page is drawn on; for the sheets of this layer and the pages of `report`. Lengths in mm on the finished print,
// origin top left, y down; the printer's correction is applied behind this. Two pages drawn alike come out as the same
// bytes.
#pragma once

#include <functional>
#include <span>
#include <string>
#include <string_view>

#include "sherdmark/sheet/running_text.h"
#include "sherdmark/base/files.h"
#include "sherdmark/base/picture.h"
#include "sherdmark/code/symbol.h"
#include "sherdmark/standard/house_standard.h"
#include "sherdmark/type/typeface.h"

namespace sherdmark {

struct RectMm {
  double x_mm = 0;
  double y_mm = 0;
  double w_mm = 0;
  double h_mm = 0;
};

struct PointMm {
  double x_mm = 0;
  double y_mm = 0;
};

class Canvas {
 public:
  virtual ~Canvas() = default;
  // All of them as one black path.
  virtual void rectangles(std::span<const RectMm> boxes) = 0;
  // The same in grey: `ink` 0 … 1. For reports; a label is never grey.
  virtual void tinted(std::span<const RectMm> boxes, double ink) = 0;
  // A closed polygon, black; for the cutting plan's pictures.
  virtual void polygon(std::span<const PointMm> corners) = 0;
  // Modules as one path of whole printer dots, the symbol's first module at the dot nearest to the place.
  virtual void symbol(const SymbolMatrix& matrix, PointMm first_module, int module_dots) = 0;
  // Glyph by glyph at the exact advances, from the pen position given.
  virtual void exact_line(const Typeface& face, double size_pt, PointMm pen, std::u32string_view line) = 0;
  // Running text from its top left corner; breaks as RunningText measured it.
  virtual void paragraph(const TextStyle& style, std::string_view text, PointMm top_left, double width_mm) = 0;
};

// Page size in mm rounded up to whole dots, so that the dot grid is the same from every edge.
struct PaperSize {
  double width_mm = 0;
  double height_mm = 0;
};
[[nodiscard]] PaperSize whole_dots(double width_mm, double height_mm, int dpi);

// Calls draw(canvas, page) for pages 1 … pages and streams the PDF to the sink; one page at a time is held.
using DrawPage = std::function<void(Canvas&, int page)>;
void write_pdf(const PaperSize& paper, const PrinterDescription& printer, int pages, const std::string& title,
               const DrawPage& draw, const ByteSink& sink);
[[nodiscard]] GreyPicture draw_grey(const PaperSize& paper, const PrinterDescription& printer, double dpi, int page,
                                    const DrawPage& draw);

}  // namespace sherdmark
