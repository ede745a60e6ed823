// The cutting list as pages: one block for each step, with a small drawing.
#pragma once

#include <string>
#include <vector>

#include "sheet/page_frame.h"
#include "sherdmark/sheet/cutting.h"

namespace sherdmark {

class CuttingPages {
 public:
  // `note`: what the other order would cost, for the head of the list.
  CuttingPages(const Placements& placements, const HouseStandard& standard, std::string note = {});

  [[nodiscard]] int count() const { return static_cast<int>(first_block_.size()); }
  // What the header cell of every strip on a page of labels says: the strip's number and its lots.
  void draw_strip_headers(Canvas& canvas, int page) const;
  // `page` from 1; `about` is the sheets' header: run, repository and date are taken from it.
  void draw(Canvas& canvas, int page, const SheetHeader& about) const;

 private:
  struct Block {
    std::size_t first_step = 0;  // of the plan; all of the block have the same strokes
    std::size_t steps = 0;
    std::string title;
    std::string before;  // what to do before the first stroke
    std::string after;   // what comes of it
    double height_mm = 0;
  };
  void gather();
  void paginate();
  [[nodiscard]] double draw_summary(Canvas* canvas, double y_mm, const std::string& note) const;
  [[nodiscard]] double words_width() const;
  [[nodiscard]] std::vector<std::string> fence_places(const Block& block) const;
  // Title, words and the fence's places in columns, to be read beside the trimmer. Returns where they end.
  double set_block(Canvas* canvas, const Block& block, const std::string& title, PointMm at, double width_mm) const;
  [[nodiscard]] const CutStep& step_of(const Block& block) const { return plan_.steps[block.first_step]; }
  [[nodiscard]] std::string tail_within(const TextStyle& style, const std::string& text, double room_mm) const;
  void draw_picture(Canvas& canvas, const Block& block, PointMm at) const;

  const Placements& placements_;
  std::string note_;
  const HouseStandard& standard_;
  PageFrame frame_;
  RunningText text_;
  CuttingPlan plan_;
  std::vector<Block> blocks_;
  std::vector<std::size_t> first_block_;  // of each page
};

// "1–8, 12"
[[nodiscard]] std::string number_ranges(const std::vector<int>& numbers);

}  // namespace sherdmark
