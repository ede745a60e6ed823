// Printed papers as pictures at high resolution, and laying them into a scene.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "scenes/canvas.h"
#include "scenes/pose.h"
#include "sherdmark/standard/house_standard.h"
#include "sherdmark/type/typeface.h"

namespace sherdmark::scenes {

// A print on paper: 255 is bare paper. Its own smaller copies serve for drawing it smaller without aliasing.
class Paper {
 public:
  Paper(GreyPicture print, double px_per_mm);
  [[nodiscard]] double width_mm() const { return levels_.front().width_px() / px_per_mm_; }
  [[nodiscard]] double height_mm() const { return levels_.front().height_px() / px_per_mm_; }
  // Light of the print at a place, 0 … 1, as seen at about that resolution; the nearest place outside.
  [[nodiscard]] float light(const PointPaper& place, double seen_px_per_mm) const;

 private:
  std::vector<GreyPicture> levels_;
  double px_per_mm_;
};

// An artifact label drawn by the geometry of sherdmark/sheet/label_geometry.h, as it leaves the trimmer; `trim_mm` is
// how far each cut (left, top, right, bottom) lies outside its line.
struct LabelTrim {
  double left_mm = 0;
  double top_mm = 0;
  double right_mm = 0;
  double bottom_mm = 0;
};
[[nodiscard]] Paper draw_label(const std::vector<std::string>& lines, const ArtifactLabelDesign& design,
                               const Typeface& face, const LabelTrim& trim, double toner_spread_mm = 0,
                               double px_per_mm = 48);

struct PaperLook {
  Colour paper{0.93F, 0.925F, 0.90F};
  Colour ink{0.10F, 0.10F, 0.11F};
};

// Lays the paper into the canvas; `shade` is the light that falls on a pixel.
void lay(Canvas& canvas, const Paper& paper, const Pose& pose, const PaperLook& look,
         const std::function<float(int x, int y)>& shade);

}  // namespace sherdmark::scenes
