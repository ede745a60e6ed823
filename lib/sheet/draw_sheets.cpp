#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "sheet/artifact_label.h"
#include "sheet/carrier_label.h"
#include "sheet/cutting_page.h"
#include "sheet/page_frame.h"
#include "sherdmark/base/error.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {
namespace {

// Everything that the pages of one run share.
class SheetDrawing {
 public:
  SheetDrawing(const Placements& placements, const std::vector<CarrierLabelRequest>& carriers,
               const SheetHeader& header, const HouseStandard& standard)
      : placements_(placements),
        carriers_(carriers),
        header_(header),
        standard_(standard),
        stock_(is_artifact() ? standard.artifact_stock : standard.stock_of(role())) {
    if (has_frame(standard, role()))
      frame_ =
          page_frame(stock_, role(), placements.dpi, is_artifact() ? 0 : standard.carrier_design(role()).height_mm);
    (void)Typeface::find(standard.carrier_font);  // header and footer
    if (is_artifact()) {
      face_.emplace(Typeface::find(standard.artifact.font));
      cutting_.emplace(placements, standard, header.cutting_note);
    }
    if (!is_artifact()) {
      if (carriers.size() != placements.labels.size())
        throw internal_error("the label requests do not match the placements.");
      maker_.emplace(standard);
    }
    for (std::size_t i = 0; i < placements.labels.size(); ++i) {
      const int page = placements.labels.box(i).page;
      if (page < 1 || page < static_cast<int>(first_of_page_.size()) || page > placements.pages)
        throw internal_error("the placements are not in the order of the pages.");
      while (static_cast<int>(first_of_page_.size()) < page) first_of_page_.push_back(i);
    }
    first_of_page_.push_back(placements.labels.size());
  }

  [[nodiscard]] PaperSize paper() const { return frame_ ? frame_->paper : carrier_paper(standard_, role()); }

  [[nodiscard]] int pages() const { return placements_.pages + (cutting_ ? cutting_->count() : 0); }

  void draw(Canvas& canvas, int page) const {
    if (page > placements_.pages) {
      cutting_->draw(canvas, page - placements_.pages, header_);
      return;
    }
    const std::size_t first = first_of_page_.at(static_cast<std::size_t>(page) - 1);
    const std::size_t last = first_of_page_.at(static_cast<std::size_t>(page));
    if (frame_) {
      draw_frame(canvas, text_, *frame_, header_, stock_, standard_.carrier_font, page, placements_.pages);
      draw_ticks(canvas, *frame_, cut_lines(placements_, first, last));
    }
    if (cutting_) cutting_->draw_strip_headers(canvas, page);
    for (std::size_t i = first; i < last; ++i) {
      if (maker_)
        maker_->draw(canvas, carriers_[i], placements_.labels[i]);
      else
        draw_artifact_label(canvas, placements_.labels[i], standard_.artifact, *face_);
    }
  }

 private:
  [[nodiscard]] LabelRole role() const {
    if (placements_.labels.empty())
      throw data_error("there is no label to draw.", {}, "Ask the plan which labels are due.");
    return placements_.labels.front().role;
  }
  [[nodiscard]] bool is_artifact() const { return role() == LabelRole::artifact; }

  const Placements& placements_;
  const std::vector<CarrierLabelRequest>& carriers_;
  const SheetHeader& header_;
  const HouseStandard& standard_;
  const SheetStock& stock_;
  std::optional<PageFrame> frame_;
  RunningText text_;
  std::optional<Typeface> face_;
  std::optional<CarrierLabelMaker> maker_;
  std::optional<CuttingPages> cutting_;
  std::vector<std::size_t> first_of_page_;  // index of the first label of page 1, 2 …; then the number of labels
};

}  // namespace

void draw_pdf(const Placements& placements, const std::vector<CarrierLabelRequest>& carriers, const SheetHeader& header,
              const HouseStandard& standard, const ByteSink& sink) {
  const SheetDrawing drawing{placements, carriers, header, standard};
  write_pdf(
      drawing.paper(), standard.printer, drawing.pages(),
      header.run.empty() ? header.title : fmt::format("{}, run {}", header.title, header.run),
      [&drawing](Canvas& canvas, int page) { drawing.draw(canvas, page); }, sink);
}

GreyPicture draw_page(const Placements& placements, const std::vector<CarrierLabelRequest>& carriers,
                      const SheetHeader& header, const HouseStandard& standard, int page, double dpi) {
  const SheetDrawing drawing{placements, carriers, header, standard};
  if (page < 1 || page > drawing.pages())
    throw usage_error(fmt::format("the run has no page {}.", page),
                      fmt::format("Ask for a page from 1 to {}.", drawing.pages()));
  if (!(dpi >= 10 && dpi <= 2400))
    throw usage_error(fmt::format("a page cannot be drawn at {} dpi.", dpi), "Take 10 to 2400 dpi.");
  return draw_grey(drawing.paper(), standard.printer, dpi, page,
                   [&drawing](Canvas& canvas, int number) { drawing.draw(canvas, number); });
}

}  // namespace sherdmark
