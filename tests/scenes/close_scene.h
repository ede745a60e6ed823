// A close photograph of one set: papers laid one by one where the caller says, on the bench, on a find or on top of one
// another, each whole or spoilt in a stated way.
#pragma once

#include <optional>

#include "scenes/paper.h"
#include "sherdmark/base/files.h"
#include "sherdmark/base/picture.h"
#include "sherdmark/base/random.h"

namespace sherdmark::scenes {

// A patch over part of a paper, in its own millimetres from its middle.
struct Patch {
  double left_mm = 0;
  double top_mm = 0;
  double right_mm = 0;
  double bottom_mm = 0;
  Colour colour{};
};

struct LaidPaper {
  double x_mm = 0;  // of its middle
  double y_mm = 0;
  double turn_deg = 0;
  double tilt_deg = 0;
  bool on_a_find = false;
  double shadow = 0.9;  // light round its edge; 1: none, as where two papers lie flat on each other
  std::optional<Patch> patch{};
  double gloss = 0;  // strength of a highlight on it
};

struct CloseCamera {
  double px_per_mm = 12;
  double width_mm = 146;
  double height_mm = 112;
  double blur_px = 0.5;
  double shake_px = 0;
  double noise_levels = 2;
  double uneven_light = 0.2;
  int jpeg_quality = 90;
};

class CloseScene {
 public:
  CloseScene(const CloseCamera& camera, RandomSource& random);
  void lay(const Paper& paper, const LaidPaper& where);
  // The photograph as JPEG. The scene is spent.
  [[nodiscard]] Bytes shoot();

 private:
  [[nodiscard]] float light_at(int x, int y) const;
  void draw_find(const LaidPaper& where, double reach_mm);
  template <typename Paint>
  void paint_on(const Pose& pose, double half_width_mm, double half_height_mm, Paint paint);

  CloseCamera camera_;
  RandomSource& random_;
  Canvas canvas_;
  double light_x_;
  double light_y_;
};

}  // namespace sherdmark::scenes
