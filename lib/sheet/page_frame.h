// What surrounds the labels on every page: header, corner marks, scale bar, cut ticks; and the space left for labels.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/sheet/canvas.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {

// The page's parts, in mm from the top left corner of the paper.
struct PageFrame {
  PaperSize paper;
  RectMm printable;    // inside the stock's margins; the corner marks' outer edges
  RectMm about;        // under the title line: who made it where; no height where a row of labels needs the room
  RectMm header_text;  // instructions and cautions in small type
  RectMm labels;       // where labels may lie; round it the band for the ticks
  double footer_y_mm = 0;
};

// Artifact sheets carry instructions and cautions in two columns; carrier sheets one line. `row_mm`: the height of a
// carrier's rows; the head is a line less high where that makes room for one more of them.
[[nodiscard]] PageFrame page_frame(const SheetStock& stock, LabelRole role, int dpi, double row_mm = 0);

// The page on which labels of that role are printed: the sheet, or one label of a roll or strip with its margins. Not
// for artifact labels.
[[nodiscard]] PaperSize carrier_paper(const HouseStandard& standard, LabelRole role);
// Header, scale bar and ticks stand on sheets that are cut; on die-cut sheets, rolls and strips there is no room that
// is no label.
[[nodiscard]] bool has_frame(const HouseStandard& standard, LabelRole role);

// Every strip of artifact labels begins with a header cell: its number and the lots it holds, to be cut off last.
inline constexpr double k_strip_header_mm = 16.0;
// The cells' part of the frame: right of the header cells, and with enough paper left at the right and at the foot for
// the trimmer to hold.
[[nodiscard]] RectMm strip_space(const PageFrame& frame, const Trimmer& trimmer);

// Where cuts go right across the block of labels: ticks at its ends, outside the labels.
struct CutLines {
  RectMm block;              // the labels' outer edges
  std::vector<double> x_mm;  // upright cuts that hold for the whole page
  std::vector<double> y_mm;  // level cuts
};
[[nodiscard]] CutLines cut_lines(const Placements& placements, std::size_t first, std::size_t last);

// Run, date, repository, printer, person, station and ledger stand in 6 points or more as long as they fit beside the
// title and on the line below it or, where there is none, beside the scale bar; longer ones are set smaller, never cut.
// Throws data_error when instructions and cautions do not fit at the smallest type that is allowed.
void draw_frame(Canvas& canvas, const RunningText& text, const PageFrame& frame, const SheetHeader& header,
                const SheetStock& stock, const std::string& family, int page, int pages);
void draw_ticks(Canvas& canvas, const PageFrame& frame, const CutLines& cuts);

}  // namespace sherdmark
