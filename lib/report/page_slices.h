// Blocks of a report cut into slices: the smallest parts that stay whole on a page. Private to the report pages.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "sherdmark/report/report_pages.h"
#include "sherdmark/sheet/canvas.h"

namespace sherdmark {

struct Slice {
  double before_mm = 0;  // space above it, not at the top of a page
  double height_mm = 0;
  bool with_next = false;   // stays on one page with the slice after it
  bool page_break = false;  // begins a new page; nothing is drawn
  std::function<void(Canvas&, PointMm top_left)> draw{};
  std::shared_ptr<const Slice> head{};             // of a table, drawn again at the top of a page
  std::function<Slice(double most_mm)> shorter{};  // the same with words left out, where it is higher than a page
};

// What every block needs to measure itself.
struct PageText {
  const RunningText& text;
  std::string font;
  double width_mm = 0;

  [[nodiscard]] TextStyle style(double size_pt, bool bold = false) const;
  // Height of the text broken at a width; short texts are not set to find out that they are one line.
  [[nodiscard]] double height(const TextStyle& style, const std::string& words, double at_width_mm) const;
};

// The head of a table where it goes on on another page: what it is about, then its columns.
[[nodiscard]] std::shared_ptr<const Slice> continued(const std::shared_ptr<const Slice>& head, const std::string& title,
                                                     const PageText& page);

void cut(const ReportHeading& block, const PageText& page, std::vector<Slice>& slices);
void cut(const ReportText& block, const PageText& page, std::vector<Slice>& slices);
void cut(const ReportNotice& block, const PageText& page, std::vector<Slice>& slices);
void cut(const ReportFacts& block, const PageText& page, std::vector<Slice>& slices);
void cut(const ReportTable& block, const PageText& page, std::vector<Slice>& slices);
void cut(const ReportBars& block, const PageText& page, std::vector<Slice>& slices);
void cut(const ReportBounds& block, const PageText& page, std::vector<Slice>& slices);
void cut(const ReportSignatures& block, const PageText& page, std::vector<Slice>& slices);
void cut(const ReportPageBreak& block, const PageText& page, std::vector<Slice>& slices);
void cut(const ReportPicture& block, const PageText& page, std::vector<Slice>& slices);

}  // namespace sherdmark
