#include "report/page_slices.h"

namespace sherdmark {

void cut(const ReportPicture& block, const PageText& page, std::vector<Slice>& slices) {
  constexpr double k_before_mm = 2;
  slices.push_back({.before_mm = k_before_mm,
                    .height_mm = block.height_mm,
                    .draw = [block, width = page.width_mm, font = page.font](Canvas& canvas, PointMm at) {
                      block.draw(canvas, {at.x_mm, at.y_mm, width, block.height_mm}, font);
                    }});
}

}  // namespace sherdmark
