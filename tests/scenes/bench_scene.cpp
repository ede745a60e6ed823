#include "scenes/bench_scene.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "scenes/texture.h"

namespace sherdmark::scenes {
namespace {

constexpr double k_pi = 3.14159265358979323846;
constexpr double k_width_mm = 246;
constexpr double k_height_mm = 184;

// Where one thing lies: middle, and the room it has.
struct Spot {
  double x_mm = 0;
  double y_mm = 0;
  double reach_mm = 0;
};

struct Layout {
  std::vector<Spot> bag_labels;
  std::vector<Spot> tags;
  std::vector<Spot> sherds;
  std::vector<std::array<double, 4>> bags;  // x, y, width, height in mm
};

Layout one_bag() {
  Layout layout;
  layout.bags.push_back({8, 8, 118, 152});
  layout.bag_labels.push_back({67, 50, 55});
  layout.tags.push_back({58, 122, 40});
  for (int row = 0; row < 4; ++row)
    for (int column = 0; column < 2; ++column) layout.sherds.push_back({157.0 + 54 * column, 27.0 + 43 * row, 19});
  return layout;
}

Layout two_bags() {
  Layout layout;
  layout.bags = {{4, 6, 117, 128}, {125, 6, 117, 128}};
  layout.bag_labels = {{62, 46, 55}, {184, 46, 55}};
  layout.tags = {{56, 105, 40}, {180, 105, 40}};
  for (int column = 0; column < 4; ++column) layout.sherds.push_back({32.0 + 58 * column, 160, 17});
  return layout;
}

class Shoot {
 public:
  Shoot(const Camera& camera, RandomSource& random)
      : camera_(camera),
        random_(random),
        canvas_(static_cast<int>(k_width_mm * camera.px_per_mm), static_cast<int>(k_height_mm * camera.px_per_mm)),
        seed_(static_cast<std::uint32_t>(random.next())),
        light_x_(between(random, -1, 1)),
        light_y_(between(random, -1, 1)) {}

  Canvas& canvas() { return canvas_; }

  void cover_bench() {
    each_pixel(0, 0, canvas_.width_px(), canvas_.height_px(), [this](double x, double y, Colour& pixel, float light) {
      const float weave =
          0.03F * smooth_noise(x * 3.1, y * 3.1, seed_) + 0.04F * smooth_noise(x * 0.05, y * 0.05, seed_ + 7);
      pixel = Colour{0.25F, 0.30F, 0.34F} * (light * (1 + weave));
    });
  }

  // Clear polyethylene: a little lighter than the bench, with soft streaks where it shines, and a welded edge.
  void lay_bag(const std::array<double, 4>& box, bool above) {
    const double scale = camera_.px_per_mm;
    each_pixel(static_cast<int>(box[0] * scale), static_cast<int>(box[1] * scale),
               static_cast<int>((box[0] + box[2]) * scale), static_cast<int>((box[1] + box[3]) * scale),
               [&](double x, double y, Colour& pixel, float) {
                 const double edge = std::min({x - box[0], y - box[1], box[0] + box[2] - x, box[1] + box[3] - y});
                 const float streak = smooth_noise(x * 0.035 + y * 0.02, y * 0.06 - x * 0.01, seed_ + 19);
                 float veil = above ? 0.015F : 0.05F;
                 veil += (above ? 0.10F : 0.16F) * std::max(0.0F, streak - 0.45F);
                 if (edge < 1.2) veil += 0.10F;
                 pixel = mix(pixel, {0.93F, 0.95F, 0.97F}, veil);
               });
  }

  void lay_flat(const Paper& paper, const Spot& spot, double most_turn_deg) {
    Pose pose = pose_at(spot);
    pose.turn_rad = between(random_, -most_turn_deg, most_turn_deg) * k_pi / 180;
    pose.tilt_rad = between(random_, 0, 3) * k_pi / 180;
    pose.tilt_axis_rad = between(random_, 0, 2 * k_pi);
    cast_shadow(pose, paper);
    lay(canvas_, paper, pose, {}, shade());
  }

  void lay_sherd(const Paper& paper, const Spot& spot) {
    const double label_reach = std::hypot(paper.width_mm(), paper.height_mm()) / 2;
    const double reach = std::clamp(label_reach * between(random_, 1.15, 1.6), 11.0, spot.reach_mm);
    draw_body(spot, reach);
    Pose pose = pose_at({spot.x_mm + between(random_, -1, 1), spot.y_mm + between(random_, -1, 1), spot.reach_mm});
    pose.turn_rad = between(random_, -k_pi, k_pi);
    pose.tilt_rad = between(random_, 0, camera_.most_tilt_deg) * k_pi / 180;
    pose.tilt_axis_rad = between(random_, 0, 2 * k_pi);
    pose.bend_radius_mm = random_.below(3) == 0 ? between(random_, 45, 110) : 0;
    pose.bend_along_text = random_.below(2) == 0;
    cast_shadow(pose, paper);
    lay(canvas_, paper, pose, {}, shade());
  }

  // A ten-centimetre scale of black and white fields.
  void lay_scale(double x_mm, double y_mm) {
    const double scale = camera_.px_per_mm;
    each_pixel(static_cast<int>((x_mm - 2) * scale), static_cast<int>((y_mm - 1.5) * scale),
               static_cast<int>((x_mm + 102) * scale), static_cast<int>((y_mm + 7) * scale),
               [&](double x, double y, Colour& pixel, float light) {
                 const bool field = x >= x_mm && x < x_mm + 100 && y >= y_mm && y < y_mm + 5;
                 const bool upper = y < y_mm + 2.5;
                 const bool dark = field && (static_cast<int>((x - x_mm) / 10) % 2 == 0) == upper;
                 pixel = (dark ? Colour{0.10F, 0.10F, 0.10F} : Colour{0.88F, 0.88F, 0.86F}) * light;
               });
  }

 private:
  template <typename Paint>
  void each_pixel(int left, int top, int right, int bottom, Paint paint) {
    for (int y = std::max(0, top); y < std::min(canvas_.height_px(), bottom); ++y)
      for (int x = std::max(0, left); x < std::min(canvas_.width_px(), right); ++x)
        paint((x + 0.5) / camera_.px_per_mm, (y + 0.5) / camera_.px_per_mm, canvas_.at(x, y), light_at(x, y));
  }

  [[nodiscard]] float light_at(int x, int y) const {
    const double u = static_cast<double>(x) / canvas_.width_px() - 0.5;
    const double v = static_cast<double>(y) / canvas_.height_px() - 0.5;
    return static_cast<float>(1.0 - camera_.uneven_light * (0.5 + 0.7 * (u * light_x_ + v * light_y_)));
  }
  [[nodiscard]] std::function<float(int, int)> shade() const {
    return [this](int x, int y) { return light_at(x, y); };
  }

  [[nodiscard]] Pose pose_at(const Spot& spot) const {
    Pose pose;
    pose.px_per_mm = camera_.px_per_mm;
    pose.centre = {spot.x_mm * camera_.px_per_mm, spot.y_mm * camera_.px_per_mm};
    return pose;
  }

  void cast_shadow(const Pose& pose, const Paper& paper) {
    for (const double grow : {0.5, 0.25}) {
      const Corners corners = pose.corners(paper.width_mm() + 2 * grow, paper.height_mm() + 2 * grow);
      const auto [left, right] = std::minmax({corners[0].x, corners[1].x, corners[2].x, corners[3].x});
      const auto [top, bottom] = std::minmax({corners[0].y, corners[1].y, corners[2].y, corners[3].y});
      each_pixel(
          static_cast<int>(left), static_cast<int>(top), static_cast<int>(right) + 1, static_cast<int>(bottom) + 1,
          [&](double x, double y, Colour& pixel, float) {
            const PointPaper p = pose.unplace({x * camera_.px_per_mm - 2, y * camera_.px_per_mm - 2});
            if (std::abs(p.x_mm) < paper.width_mm() / 2 + grow && std::abs(p.y_mm) < paper.height_mm() / 2 + grow)
              pixel = pixel * 0.88F;
          });
    }
  }

  // A broken, rounded piece: fired clay, stone or shell by colour, with a shaded edge and a shadow.
  void draw_body(const Spot& spot, double reach_mm) {
    static constexpr std::array<Colour, 6> k_clays{Colour{0.55F, 0.33F, 0.22F}, Colour{0.36F, 0.31F, 0.28F},
                                                   Colour{0.66F, 0.50F, 0.34F}, Colour{0.23F, 0.22F, 0.22F},
                                                   Colour{0.72F, 0.64F, 0.52F}, Colour{0.44F, 0.40F, 0.30F}};
    const Colour clay = k_clays[static_cast<std::size_t>(random_.below(k_clays.size()))];
    const auto grain = static_cast<std::uint32_t>(random_.next());
    const auto edge = static_cast<std::uint32_t>(random_.next());
    const double scale = camera_.px_per_mm;
    const double most = reach_mm * 1.35 + 3;
    each_pixel(static_cast<int>((spot.x_mm - most) * scale), static_cast<int>((spot.y_mm - most) * scale),
               static_cast<int>((spot.x_mm + most) * scale), static_cast<int>((spot.y_mm + most) * scale),
               [&](double x, double y, Colour& pixel, float light) {
                 const auto inside = [&](double px, double py) {
                   const double dx = px - spot.x_mm;
                   const double dy = py - spot.y_mm;
                   const double angle = std::atan2(dy, dx);
                   const double radius =
                       reach_mm * (1.1 + 0.16 * static_cast<double>(smooth_noise(2 + 1.3 * std::cos(angle),
                                                                                 2 + 1.3 * std::sin(angle), edge)));
                   return radius - std::hypot(dx, dy);
                 };
                 const double depth = inside(x, y);
                 if (depth < 0) {
                   if (inside(x - 1.6, y - 2.0) > 0) pixel = pixel * 0.55F;
                   return;
                 }
                 const float rough = rough_noise(x * 0.9, y * 0.9, 4, 0.6F, grain);
                 const auto edge_shade = static_cast<float>(1 - 0.45 * std::exp(-depth / 1.4));
                 pixel = clay * (light * edge_shade * (1 + 0.22F * rough));
               });
  }

  const Camera& camera_;
  RandomSource& random_;
  Canvas canvas_;
  std::uint32_t seed_;
  double light_x_;
  double light_y_;
};

}  // namespace

ColourPicture photograph(const BenchScene& scene, const Camera& camera, RandomSource& random) {
  const Layout layout = scene.bag_labels.size() > 1 || scene.tags.size() > 1 ? two_bags() : one_bag();
  Shoot shoot{camera, random};
  shoot.cover_bench();
  for (const auto& bag : layout.bags) shoot.lay_bag(bag, false);
  for (std::size_t i = 0; i < std::min(scene.tags.size(), layout.tags.size()); ++i)
    shoot.lay_flat(*scene.tags[i], layout.tags[i], 7);
  for (const auto& bag : layout.bags) shoot.lay_bag(bag, true);
  for (std::size_t i = 0; i < std::min(scene.bag_labels.size(), layout.bag_labels.size()); ++i)
    shoot.lay_flat(*scene.bag_labels[i], layout.bag_labels[i], 2);
  for (std::size_t i = 0; i < std::min(scene.artifact_labels.size(), layout.sherds.size()); ++i)
    shoot.lay_sherd(*scene.artifact_labels[i], layout.sherds[i]);
  shoot.lay_scale(14, k_height_mm - 13);
  blur(shoot.canvas(), camera.blur_px);
  return expose(shoot.canvas(), camera.noise_levels, random);
}

}  // namespace sherdmark::scenes
