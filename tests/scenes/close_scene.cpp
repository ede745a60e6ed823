#include "scenes/close_scene.h"

#include <algorithm>
#include <cmath>

#include "scenes/texture.h"
#include "sherdmark/report/marked_picture.h"

namespace sherdmark::scenes {
namespace {

constexpr double k_pi = 3.14159265358979323846;

}  // namespace

CloseScene::CloseScene(const CloseCamera& camera, RandomSource& random)
    : camera_(camera),
      random_(random),
      canvas_(static_cast<int>(camera.width_mm * camera.px_per_mm),
              static_cast<int>(camera.height_mm * camera.px_per_mm)),
      light_x_(between(random, -1, 1)),
      light_y_(between(random, -1, 1)) {
  const auto grain = static_cast<std::uint32_t>(random.next());
  const auto tone = static_cast<float>(between(random, 0.15, 0.45));
  for (int y = 0; y < canvas_.height_px(); ++y)
    for (int x = 0; x < canvas_.width_px(); ++x) {
      const double u = x / camera_.px_per_mm, v = y / camera_.px_per_mm;
      const float weave = 1 + 0.05F * smooth_noise(u * 1.7, v * 1.7, grain);
      canvas_.at(x, y) = Colour{0.92F, 1.0F, 1.06F} * (tone * weave * light_at(x, y));
    }
}

float CloseScene::light_at(int x, int y) const {
  const double u = static_cast<double>(x) / canvas_.width_px() - 0.5;
  const double v = static_cast<double>(y) / canvas_.height_px() - 0.5;
  return static_cast<float>(1.0 - camera_.uneven_light * (0.5 + 0.7 * (u * light_x_ + v * light_y_)));
}

template <typename Paint>
void CloseScene::paint_on(const Pose& pose, double half_width_mm, double half_height_mm, Paint paint) {
  const Corners box = pose.corners(2 * half_width_mm, 2 * half_height_mm);
  const auto [left, right] = std::minmax({box[0].x, box[1].x, box[2].x, box[3].x});
  const auto [top, bottom] = std::minmax({box[0].y, box[1].y, box[2].y, box[3].y});
  for (int y = std::max(0, static_cast<int>(top)); y < std::min(canvas_.height_px(), static_cast<int>(bottom) + 1); ++y)
    for (int x = std::max(0, static_cast<int>(left)); x < std::min(canvas_.width_px(), static_cast<int>(right) + 1);
         ++x) {
      const PointPaper p = pose.unplace({x + 0.5, y + 0.5});
      if (std::abs(p.x_mm) < half_width_mm && std::abs(p.y_mm) < half_height_mm) paint(p, x, y, canvas_.at(x, y));
    }
}

void CloseScene::draw_find(const LaidPaper& where, double reach_mm) {
  const auto grain = static_cast<std::uint32_t>(random_.next());
  const auto tone = static_cast<float>(between(random_, 0.15, 0.7));
  Pose pose;
  pose.px_per_mm = camera_.px_per_mm;
  pose.centre = {where.x_mm * camera_.px_per_mm, where.y_mm * camera_.px_per_mm};
  paint_on(pose, reach_mm, reach_mm, [&](const PointPaper& p, int x, int y, Colour& pixel) {
    const double depth = reach_mm - std::hypot(p.x_mm, p.y_mm);
    if (depth < 0) return;
    const float rough = rough_noise(p.x_mm * 0.9, p.y_mm * 0.9, 4, 0.6F, grain);
    const auto edge = static_cast<float>(1 - 0.45 * std::exp(-depth / 1.4));
    pixel = Colour{1.1F, 0.95F, 0.8F} * (tone * light_at(x, y) * edge * (1 + 0.22F * rough));
  });
}

void CloseScene::lay(const Paper& paper, const LaidPaper& where) {
  const double half_width = paper.width_mm() / 2, half_height = paper.height_mm() / 2;
  if (where.on_a_find) draw_find(where, std::hypot(half_width, half_height) * 1.2 + 2);
  Pose pose;
  pose.px_per_mm = camera_.px_per_mm;
  pose.centre = {where.x_mm * camera_.px_per_mm, where.y_mm * camera_.px_per_mm};
  pose.turn_rad = where.turn_deg * k_pi / 180;
  pose.tilt_rad = where.tilt_deg * k_pi / 180;
  pose.tilt_axis_rad = between(random_, 0, 2 * k_pi);
  if (where.shadow < 1)
    paint_on(pose, half_width + 0.25, half_height + 0.25,
             [&](const PointPaper&, int, int, Colour& pixel) { pixel = pixel * static_cast<float>(where.shadow); });
  scenes::lay(canvas_, paper, pose, {}, [this](int x, int y) { return light_at(x, y); });
  if (where.patch)
    paint_on(pose, half_width, half_height, [&](const PointPaper& p, int x, int y, Colour& pixel) {
      const Patch& patch = *where.patch;
      if (p.x_mm >= patch.left_mm && p.x_mm < patch.right_mm && p.y_mm >= patch.top_mm && p.y_mm < patch.bottom_mm)
        pixel = patch.colour * light_at(x, y);
    });
  if (where.gloss > 0) {
    const double at = between(random_, -0.7, 0.7) * half_width;
    paint_on(pose, half_width + 2, half_height + 2, [&](const PointPaper& p, int, int, Colour& pixel) {
      const double off = std::pow((p.x_mm - at) / (0.5 * half_width), 2) + std::pow(p.y_mm / (1.5 * half_height), 2);
      pixel = mix(pixel, {1.05F, 1.05F, 1.05F}, static_cast<float>(where.gloss * std::exp(-off)));
    });
  }
}

Bytes CloseScene::shoot() {
  blur(canvas_, camera_.blur_px);
  smear(canvas_, camera_.shake_px, between(random_, 0, k_pi));
  Bytes jpeg;
  write_jpeg(expose(canvas_, camera_.noise_levels, random_), camera_.jpeg_quality,
             [&jpeg](std::span<const std::byte> some) { jpeg.insert(jpeg.end(), some.begin(), some.end()); });
  return jpeg;
}

}  // namespace sherdmark::scenes
