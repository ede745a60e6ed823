// Sheets → what to cut, in order: a list that a volunteer can follow, and its cost. Worked out from the placements
// alone, so that it also holds for sheets whose placements come from a file. JSON form: docs/formats/cutting.md.
//
// A stroke is one pull of the blade. The paper always lies with an edge that is never cut against the fence: the foot
// of the sheet, then the right end of the strips; fence distances are from that edge to the blade, so what falls off is
// on the far side and the trimmer always holds the larger part.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/sheet/placement.h"
#include "sherdmark/standard/house_standard.h"

namespace sherdmark {

// A row of labels on a page, numbered from 1 through the whole run in bench order.
struct CutStrip {
  int strip = 0;
  int page = 0;
  double top_mm = 0;
  double height_mm = 0;
  std::vector<double> cuts_mm;  // upright, from the left edge of the paper: before the first label, after each label
  std::size_t first_label = 0;  // into Placements::labels
  std::size_t labels = 0;
  int stack = 0;  // over 0: cut together with all strips of this number
};

enum class CutAct {
  into_strips,  // level cuts through a stack of sheets
  into_labels   // upright cuts through a gang of strips
};

struct CutStep {
  CutAct act = CutAct::into_strips;
  std::vector<int> pages;        // into strips: the sheets of the stack
  std::vector<int> strips;       // what falls off, or what is squared up, in order
  std::vector<double> fence_mm;  // one for each stroke, in order
  std::string falls_off;         // whole sentences
};

struct CuttingPlan {
  std::string run;
  std::vector<CutStrip> strips;
  std::vector<CutStep> steps;
  int strokes = 0;
  double seconds = 0;                 // strokes and squaring up
  int strokes_bound = 0;              // no plan for these labels on this paper and trimmer has fewer
  CutOrder order = CutOrder::strips;  // what comes off in bench order
  int in_order_cuts = 0;  // every strip cut on its own, strokes and snips; the strokes when labels are in order anyway
  double in_order_seconds = 0;
};

// Placements whose labels do not lie in whole rows throw data_error.
[[nodiscard]] CuttingPlan plan_cutting(const Placements& placements, const Trimmer& trimmer);
void write_cutting_json(const CuttingPlan& plan, const Trimmer& trimmer, const ByteSink& sink);
[[nodiscard]] std::string write_cutting_json(const CuttingPlan& plan, const Trimmer& trimmer);

// "labels come off in bench order" and the like, for people.
[[nodiscard]] std::string_view what_comes_off(CutOrder order);

// draw_pdf adds the cutting list of artifact labels after the sheets: how many pages it takes. 0 for other labels,
// whose cuts need no list.
[[nodiscard]] int cutting_pages(const Placements& placements, const HouseStandard& standard);

}  // namespace sherdmark
