// Tables: rows that stay whole, heads that come again.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <numeric>

#include "report/page_slices.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

constexpr double k_head_pt = 7.5;
constexpr double k_pad_mm = 1.2;
constexpr double k_pad_y_mm = 0.7;
constexpr double k_line_mm = 0.12;
constexpr double k_tick_mm = 3.4;
constexpr double k_tick_line_mm = 0.25;

struct Layout {
  std::vector<ReportColumn> columns;
  std::vector<double> x_mm;  // left edges, and the right edge of all
  [[nodiscard]] double inner(std::size_t i) const { return x_mm[i + 1] - x_mm[i] - 2 * k_pad_mm; }
};

Layout lay_out(const ReportTable& table, double width_mm) {
  Layout layout{table.columns, {0}};
  const double all = std::accumulate(table.columns.begin(), table.columns.end(), 0.0,
                                     [](double sum, const ReportColumn& column) { return sum + column.share; });
  for (const ReportColumn& column : table.columns)
    layout.x_mm.push_back(layout.x_mm.back() + width_mm * column.share / all);
  return layout;
}

TextStyle style_of(const PageText& page, const ReportColumn& column) {
  TextStyle style = page.style(column.size_pt, column.bold);
  style.right_aligned = column.cell == ReportCell::right;
  return style;
}

void draw_tick(Canvas& canvas, PointMm at) {
  canvas.rectangles(std::array{RectMm{at.x_mm, at.y_mm, k_tick_mm, k_tick_line_mm},
                               RectMm{at.x_mm, at.y_mm + k_tick_mm - k_tick_line_mm, k_tick_mm, k_tick_line_mm},
                               RectMm{at.x_mm, at.y_mm, k_tick_line_mm, k_tick_mm},
                               RectMm{at.x_mm + k_tick_mm - k_tick_line_mm, at.y_mm, k_tick_line_mm, k_tick_mm}});
}

Slice head_slice(const std::shared_ptr<const Layout>& layout, const PageText& page) {
  const TextStyle bold = page.style(k_head_pt, true);
  double height = 0;
  for (std::size_t i = 0; i < layout->columns.size(); ++i)
    height = std::max(height, page.height(bold, layout->columns[i].head, layout->inner(i)));
  height += 2 * k_pad_y_mm;
  return {.before_mm = 2,
          .height_mm = height,
          .with_next = true,
          .draw = [=, width = page.width_mm](Canvas& canvas, PointMm at) {
            canvas.tinted(std::array{RectMm{at.x_mm, at.y_mm, width, height}}, 0.10);
            canvas.rectangles(std::array{RectMm{at.x_mm, at.y_mm + height - k_line_mm, width, k_line_mm}});
            for (std::size_t i = 0; i < layout->columns.size(); ++i) {
              TextStyle style = bold;
              style.right_aligned = layout->columns[i].cell == ReportCell::right;
              canvas.paragraph(style, layout->columns[i].head,
                               {at.x_mm + layout->x_mm[i] + k_pad_mm, at.y_mm + k_pad_y_mm}, layout->inner(i));
            }
          }};
}

// A heading within the table, or the words that stand for no rows.
Slice whole_row(const std::string& words, bool heading, const PageText& page) {
  const TextStyle style = page.style(8, heading);
  const double inner = page.width_mm - 2 * k_pad_mm;
  const double height = page.height(style, words, inner) + 2 * k_pad_y_mm + (heading ? 1.2 : 0);
  return {.height_mm = height, .with_next = heading, .draw = [=, width = page.width_mm](Canvas& canvas, PointMm at) {
            canvas.paragraph(style, words, {at.x_mm + k_pad_mm, at.y_mm + k_pad_y_mm + (heading ? 1.2 : 0)}, inner);
            canvas.tinted(std::array{RectMm{at.x_mm, at.y_mm + height - k_line_mm, width, k_line_mm}}, 0.5);
          }};
}

Slice row_slice(const std::vector<std::string>& cells, const std::shared_ptr<const Layout>& layout,
                const PageText& page) {
  double height = 0;
  std::vector<TextStyle> styles;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    const ReportColumn& column = layout->columns[i];
    styles.push_back(style_of(page, column));
    height = std::max(height, column.cell == ReportCell::tick && cells[i].empty()
                                  ? k_tick_mm
                                  : page.height(styles.back(), cells[i], layout->inner(i)));
  }
  height += 2 * k_pad_y_mm;
  return {.height_mm = height, .draw = [=, width = page.width_mm](Canvas& canvas, PointMm at) {
            for (std::size_t i = 0; i < cells.size(); ++i) {
              const PointMm corner{at.x_mm + layout->x_mm[i] + k_pad_mm, at.y_mm + k_pad_y_mm};
              if (layout->columns[i].cell == ReportCell::tick && cells[i].empty())
                draw_tick(canvas, corner);
              else if (!cells[i].empty())
                canvas.paragraph(styles[i], cells[i], corner, layout->inner(i));
            }
            canvas.tinted(std::array{RectMm{at.x_mm, at.y_mm + height - k_line_mm, width, k_line_mm}}, 0.3);
          }};
}

}  // namespace

void cut(const ReportTable& block, const PageText& page, std::vector<Slice>& slices) {
  if (block.columns.empty()) throw internal_error("a table of a report has no columns.");
  const auto layout = std::make_shared<const Layout>(lay_out(block, page.width_mm));
  const auto head = std::make_shared<const Slice>(head_slice(layout, page));
  slices.push_back(*head);
  if (block.rows.empty()) slices.push_back(whole_row(block.when_empty, false, page));
  for (const std::vector<std::string>& cells : block.rows) {
    if (cells.size() != block.columns.size() && cells.size() != 1)
      throw internal_error(
          fmt::format("a row of a report's table has {} cells for {} columns.", cells.size(), block.columns.size()));
    slices.push_back(cells.size() == 1 && block.columns.size() > 1 ? whole_row(cells.front(), true, page)
                                                                   : row_slice(cells, layout, page));
    slices.back().head = head;
  }
}

}  // namespace sherdmark
