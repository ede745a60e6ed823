// Tables: rows that stay whole, heads that come again.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <numeric>
#include <set>

#include "report/page_slices.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr double k_head_pt = 7.5;
constexpr double k_continued_pt = 9;
constexpr double k_pad_mm = 1.2;
constexpr double k_pad_y_mm = 0.7;
constexpr double k_line_mm = 0.12;
constexpr double k_tick_mm = 3.4;
constexpr double k_tick_line_mm = 0.25;

struct Layout {
  std::vector<ReportColumn> columns;
  std::vector<double> x_mm;     // left edges, and the right edge of all
  std::vector<double> drop_mm;  // of each column's text, so that a row's first lines stand on one line
  [[nodiscard]] double inner(std::size_t i) const { return x_mm[i + 1] - x_mm[i] - 2 * k_pad_mm; }
};

TextStyle style_of(const PageText& page, const ReportColumn& column) {
  TextStyle style = page.style(column.size_pt, column.bold);
  style.right_aligned = column.cell == ReportCell::right;
  return style;
}

// How wide a word will be, roughly: letters count two, wide ones three, narrow ones one.
std::size_t rough_width(std::string_view word) {
  std::size_t width = 2 * code_point_count(word);
  for (const char c : word) {
    if (std::string_view{"MWmw@%"}.find(c) != std::string_view::npos) ++width;
    if (std::string_view{"ijlI.,:;'|!-/()"}.find(c) != std::string_view::npos) --width;
  }
  return width;
}

// The longest words of a column, so that not every word of a long table need be measured.
class LongestWords {
 public:
  void add(std::string_view words) {
    for (std::size_t end = 0; !words.empty(); words.remove_prefix(std::min(end + 1, words.size()))) {
      end = std::min(words.find_first_of(" \n"), words.size());
      words_.emplace(rough_width(words.substr(0, end)), words.substr(0, end));
      if (words_.size() > k_kept) words_.erase(words_.begin());
    }
  }
  [[nodiscard]] double width_mm(const PageText& page, const TextStyle& style) const {
    double width = 0;
    for (const auto& [length, word] : words_) width = std::max(width, page.text.measure(style, word).width_mm);
    return width;
  }

 private:
  static constexpr std::size_t k_kept = 12;
  std::set<std::pair<std::size_t, std::string>> words_;
};

// What each column needs so that no word is broken: a number broken in two is another number.
std::vector<double> needs_of(const ReportTable& table, const PageText& page) {
  constexpr double k_to_spare_mm = 0.3;
  constexpr double k_most = 0.4;  // of the page: a long path may break
  std::vector<double> needs;
  for (std::size_t i = 0; i < table.columns.size(); ++i) {
    const ReportColumn& column = table.columns[i];
    LongestWords head, cells;
    head.add(column.head);
    for (const std::vector<std::string>& row : table.rows)
      if (row.size() == table.columns.size()) cells.add(row[i]);
    const double widest = std::max(head.width_mm(page, page.style(k_head_pt, true)),
                                   cells.width_mm(page, page.style(column.size_pt, column.bold)));
    needs.push_back(std::min(widest + 2 * k_pad_mm + k_to_spare_mm, k_most * page.width_mm));
  }
  return needs;
}

// By their shares, but none less than it needs where there is room for all.
Layout lay_out(const ReportTable& table, const PageText& page) {
  const std::vector<double> needs = needs_of(table, page);
  const bool room = std::accumulate(needs.begin(), needs.end(), 0.0) <= page.width_mm;
  std::vector<bool> at_need(needs.size(), false);
  double free_mm = page.width_mm;
  double shares = 0;
  for (bool again = true; again;) {
    again = false;
    free_mm = page.width_mm;
    shares = 0;
    for (std::size_t i = 0; i < needs.size(); ++i) at_need[i] ? free_mm -= needs[i] : shares += table.columns[i].share;
    for (std::size_t i = 0; room && i < needs.size(); ++i)
      if (!at_need[i] && free_mm * table.columns[i].share / shares < needs[i]) again = at_need[i] = true;
  }
  Layout layout{table.columns, {0}, {}};
  for (std::size_t i = 0; i < needs.size(); ++i)
    layout.x_mm.push_back(layout.x_mm.back() + (at_need[i] ? needs[i] : free_mm * table.columns[i].share / shares));
  for (const ReportColumn& column : table.columns)
    layout.drop_mm.push_back(page.text.measure(style_of(page, column), "0").baseline_mm);
  const double lowest = *std::ranges::max_element(layout.drop_mm);
  for (std::size_t i = 0; i < layout.drop_mm.size(); ++i)
    layout.drop_mm[i] = table.columns[i].cell == ReportCell::tick ? 0 : lowest - layout.drop_mm[i];
  return layout;
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

constexpr std::string_view k_shortened = " … (shortened)";
constexpr std::size_t k_more_than_a_page = 8'000;  // characters; longer texts take seconds to measure

// Without what is beyond a page anyhow.
std::vector<std::string> clipped(std::vector<std::string> cells) {
  for (std::string& cell : cells)
    if (cell.size() > k_more_than_a_page)
      if (const auto letters = decode_utf8(cell); letters && letters->size() > k_more_than_a_page)
        cell = encode_utf8(letters->substr(0, k_more_than_a_page)) + std::string{k_shortened};
  return cells;
}

// As much of the words as there is room for; it is said that something is missing.
std::string shortened(const PageText& page, const TextStyle& style, const std::string& words, double at_width_mm,
                      double most_mm) {
  if (page.height(style, words, at_width_mm) <= most_mm) return words;
  const std::u32string letters = decode_utf8(words).value_or(U"");
  const auto first = [&](std::size_t count) {
    return encode_utf8(letters.substr(0, count)) + std::string{k_shortened};
  };
  std::size_t fits = 0;
  for (std::size_t too_many = letters.size(); fits + 1 < too_many;) {
    const std::size_t middle = (fits + too_many) / 2;
    (page.height(style, first(middle), at_width_mm) <= most_mm ? fits : too_many) = middle;
  }
  return first(fits);
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
                                  : layout->drop_mm[i] + page.height(styles.back(), cells[i], layout->inner(i)));
  }
  height += 2 * k_pad_y_mm;
  return {
      .height_mm = height, .draw = [=, width = page.width_mm](Canvas& canvas, PointMm at) {
        for (std::size_t i = 0; i < cells.size(); ++i) {
          const PointMm corner{at.x_mm + layout->x_mm[i] + k_pad_mm, at.y_mm + k_pad_y_mm};
          if (layout->columns[i].cell == ReportCell::tick && cells[i].empty())
            draw_tick(canvas, corner);
          else if (!cells[i].empty())
            canvas.paragraph(styles[i], cells[i], {corner.x_mm, corner.y_mm + layout->drop_mm[i]}, layout->inner(i));
        }
        canvas.tinted(std::array{RectMm{at.x_mm, at.y_mm + height - k_line_mm, width, k_line_mm}}, 0.3);
      }};
}

Slice shorter_row(std::vector<std::string> cells, const std::shared_ptr<const Layout>& layout, const PageText& page,
                  double most_mm) {
  for (std::size_t i = 0; i < cells.size(); ++i)
    cells[i] = shortened(page, style_of(page, layout->columns[i]), cells[i], layout->inner(i),
                         most_mm - layout->drop_mm[i] - 2 * k_pad_y_mm);
  return row_slice(cells, layout, page);
}

}  // namespace

std::shared_ptr<const Slice> continued(const std::shared_ptr<const Slice>& head, const std::string& title,
                                       const PageText& page) {
  const TextStyle style = page.style(k_continued_pt, true);
  const std::string words = title + " (continued)";
  const double height = page.height(style, words, page.width_mm) + k_pad_y_mm;
  return std::make_shared<const Slice>(
      Slice{.height_mm = height + head->height_mm, .draw = [=, width = page.width_mm](Canvas& canvas, PointMm at) {
              canvas.paragraph(style, words, at, width);
              head->draw(canvas, {at.x_mm, at.y_mm + height});
            }});
}

void cut(const ReportTable& block, const PageText& page, std::vector<Slice>& slices) {
  if (block.columns.empty()) throw internal_error("a table of a report has no columns.");
  const auto layout = std::make_shared<const Layout>(lay_out(block, page));
  const auto head = std::make_shared<const Slice>(head_slice(layout, page));
  slices.push_back(*head);
  if (block.rows.empty()) slices.push_back(whole_row(block.when_empty, false, page));
  for (const std::vector<std::string>& row : block.rows) {
    const std::vector<std::string> cells = clipped(row);
    if (cells.size() != block.columns.size() && cells.size() != 1)
      throw internal_error(
          fmt::format("a row of a report's table has {} cells for {} columns.", cells.size(), block.columns.size()));
    const bool heading = cells.size() == 1 && block.columns.size() > 1;
    slices.push_back(heading ? whole_row(cells.front(), true, page) : row_slice(cells, layout, page));
    if (!heading)
      slices.back().shorter = [=, &page](double most_mm) { return shorter_row(cells, layout, page, most_mm); };
    slices.back().head = head;
  }
}

}  // namespace sherdmark
