#include "scan/label_text_rules.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace sherdmark::label_text {
namespace {

// A pixel on the middle of a dark line: where the second derivative across is largest (after Steger 1998, "An
// unbiased detector of curvilinear structures").
struct LinePixel {
  float x = 0;  // in pixels of the box, outer-corner coordinates
  float y = 0;
  float along_x = 0;  // unit vector along the line
  float along_y = 0;
  float strength = 0;  // second derivative across the line
};

// Share of the local contrast that the second derivative of a line must reach.
constexpr float k_least_strength_share = 0.06F;
constexpr float k_least_strength = 2.0F;

struct Box {
  int left = 0;
  int top = 0;
  int width = 0;
  int height = 0;
  [[nodiscard]] std::size_t at(int x, int y) const {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x);
  }
};

// 1-2-1 smoothing in both directions, 16 times the grey.
std::vector<std::int16_t> smooth(const GreyView& view, const Box& box) {
  std::vector<std::int16_t> sums(static_cast<std::size_t>(box.width) * static_cast<std::size_t>(box.height));
  std::vector<std::int16_t> vertical(static_cast<std::size_t>(box.width) + 2);
  for (int y = 0; y < box.height; ++y) {
    const int centre = box.top + y;
    const std::uint8_t* above = view.row(std::max(0, centre - 1));
    const std::uint8_t* here = view.row(centre);
    const std::uint8_t* below = view.row(std::min(view.height_px - 1, centre + 1));
    for (int x = -1; x <= box.width; ++x) {
      const int column = std::clamp(box.left + x, 0, view.width_px - 1);
      vertical[static_cast<std::size_t>(x + 1)] =
          static_cast<std::int16_t>(above[column] + 2 * here[column] + below[column]);
    }
    std::int16_t* out = &sums[box.at(0, y)];
    for (int x = 0; x < box.width; ++x) {
      const auto i = static_cast<std::size_t>(x);
      out[x] = static_cast<std::int16_t>(vertical[i] + 2 * vertical[i + 1] + vertical[i + 2]);
    }
  }
  return sums;
}

class LineMap {
 public:
  LineMap(const GreyView& view, const BlockMask& mask, const BlockPart& part) {
    const int block = mask.block_px;
    box_ = {part.left * block, part.top * block, (part.right - part.left) * block, (part.bottom - part.top) * block};
    const std::vector<std::int16_t> grey = smooth(view, box_);
    ids_.assign(grey.size(), -1);
    for (const auto& [column, row] : part.blocks)
      find_in_block(grey, (column - part.left) * block, (row - part.top) * block, block,
                    static_cast<float>(mask.contrast[mask.index(column, row)]));
  }

  [[nodiscard]] const std::vector<LinePixel>& pixels() const { return pixels_; }
  [[nodiscard]] const Box& box() const { return box_; }
  [[nodiscard]] int id(int x, int y) const {
    return x < 0 || y < 0 || x >= box_.width || y >= box_.height ? -1 : ids_[box_.at(x, y)];
  }

 private:
  void find_in_block(const std::vector<std::int16_t>& grey, int left, int top, int size, float contrast) {
    const float least = std::max(k_least_strength, k_least_strength_share * contrast);
    const int least_laplacian = static_cast<int>(16.0F * least * 0.8F);
    for (int y = std::max(1, top); y < std::min(top + size, box_.height - 1); ++y) {
      const std::int16_t* up = &grey[box_.at(0, y - 1)];
      const std::int16_t* mid = &grey[box_.at(0, y)];
      const std::int16_t* down = &grey[box_.at(0, y + 1)];
      for (int x = std::max(1, left); x < std::min(left + size, box_.width - 1); ++x) {
        const int laplacian = mid[x - 1] + mid[x + 1] + up[x] + down[x] - 4 * mid[x];
        if (laplacian < least_laplacian) continue;
        add_if_line(up, mid, down, x, y, least);
      }
    }
  }

  void add_if_line(const std::int16_t* up, const std::int16_t* mid, const std::int16_t* down, int x, int y,
                   float least) {
    const auto across_x = static_cast<float>(mid[x - 1] - 2 * mid[x] + mid[x + 1]) / 16.0F;
    const auto across_y = static_cast<float>(up[x] - 2 * mid[x] + down[x]) / 16.0F;
    const auto mixed = static_cast<float>(down[x + 1] - down[x - 1] - up[x + 1] + up[x - 1]) / 64.0F;
    const float half_difference = (across_x - across_y) / 2;
    const float root = std::sqrt(half_difference * half_difference + mixed * mixed);
    const float mean = (across_x + across_y) / 2;
    const float strength = mean + root;
    if (strength < least || std::abs(mean - root) > 0.6F * strength) return;
    // Unit normal: eigenvector of the larger eigenvalue.
    float normal_x = half_difference + root;
    float normal_y = mixed;
    if (half_difference < 0) {
      normal_x = mixed;
      normal_y = root - half_difference;
    }
    const float length = std::hypot(normal_x, normal_y);
    if (length < 1e-6F) return;
    normal_x /= length;
    normal_y /= length;
    const auto slope_x = static_cast<float>(mid[x + 1] - mid[x - 1]) / 32.0F;
    const auto slope_y = static_cast<float>(down[x] - up[x]) / 32.0F;
    const float offset = -(slope_x * normal_x + slope_y * normal_y) / strength;
    if (std::max(std::abs(offset * normal_x), std::abs(offset * normal_y)) > 0.65F) return;
    ids_[box_.at(x, y)] = static_cast<int>(pixels_.size());
    pixels_.push_back({static_cast<float>(x) + 0.5F + offset * normal_x,
                       static_cast<float>(y) + 0.5F + offset * normal_y, -normal_y, normal_x, strength});
  }

  Box box_;
  std::vector<int> ids_;
  std::vector<LinePixel> pixels_;
};

using Chain = std::vector<int>;  // ids in order

class ChainTracer {
 public:
  explicit ChainTracer(const LineMap& map)
      : map_{map}, used_(map.pixels().size(), 0), walked_(map.pixels().size(), 0) {}

  // The whole chain through `seed`, both ways; its pixels are used afterwards.
  Chain trace(int seed) {
    Chain chain = walk(seed, -1.0F);
    std::reverse(chain.begin(), chain.end());
    chain.push_back(seed);
    const Chain ahead = walk(seed, 1.0F);
    chain.insert(chain.end(), ahead.begin(), ahead.end());
    for (const int id : chain) use(id);
    return chain;
  }
  [[nodiscard]] bool used(int id) const { return used_[static_cast<std::size_t>(id)] != 0; }

 private:
  [[nodiscard]] const LinePixel& pixel(int id) const { return map_.pixels()[static_cast<std::size_t>(id)]; }

  // Pixels beside a used one belong to the same line.
  void use(int id) {
    used_[static_cast<std::size_t>(id)] = 1;
    const LinePixel& here = pixel(id);
    for (int dy = -1; dy <= 1; ++dy) {
      for (int dx = -1; dx <= 1; ++dx) {
        const int beside = map_.id(static_cast<int>(here.x) + dx, static_cast<int>(here.y) + dy);
        if (beside < 0) continue;
        const LinePixel& other = pixel(beside);
        if (std::abs(other.along_x * here.along_x + other.along_y * here.along_y) > 0.85F)
          used_[static_cast<std::size_t>(beside)] = 1;
      }
    }
  }

  // Ends where the line does, or where it closes on itself (a ring would go round for ever).
  [[nodiscard]] Chain walk(int seed, float sign) {
    Chain chain;
    ++walk_;
    walked_[static_cast<std::size_t>(seed)] = walk_;
    float direction_x = sign * pixel(seed).along_x;
    float direction_y = sign * pixel(seed).along_y;
    int last = seed;
    for (int next = step(last, direction_x, direction_y); next >= 0; next = step(last, direction_x, direction_y)) {
      if (walked_[static_cast<std::size_t>(next)] == walk_) break;
      walked_[static_cast<std::size_t>(next)] = walk_;
      const LinePixel& to = pixel(next);
      const float way = to.along_x * direction_x + to.along_y * direction_y < 0 ? -1.0F : 1.0F;
      direction_x = 0.85F * direction_x + 0.15F * way * to.along_x;
      direction_y = 0.85F * direction_y + 0.15F * way * to.along_y;
      const float length = std::hypot(direction_x, direction_y);
      direction_x /= length;
      direction_y /= length;
      chain.push_back(next);
      last = next;
    }
    return chain;
  }

  // The next line pixel ahead of `last`, at most three pixels off; -1 where the line ends.
  [[nodiscard]] int step(int last, float direction_x, float direction_y) const {
    const LinePixel& here = pixel(last);
    for (int ahead = 1; ahead <= 3; ++ahead) {
      const float x = here.x + static_cast<float>(ahead) * direction_x;
      const float y = here.y + static_cast<float>(ahead) * direction_y;
      int best = -1;
      float best_distance = 1.0F;
      for (int dy = -1; dy <= 1; ++dy) {
        for (int dx = -1; dx <= 1; ++dx) {
          const int id = map_.id(static_cast<int>(std::floor(x)) + dx, static_cast<int>(std::floor(y)) + dy);
          if (id < 0 || id == last || used(id)) continue;
          const LinePixel& to = pixel(id);
          const float forward = (to.x - here.x) * direction_x + (to.y - here.y) * direction_y;
          const float aside = std::abs((to.x - here.x) * direction_y - (to.y - here.y) * direction_x);
          const float turn = std::abs(to.along_x * direction_x + to.along_y * direction_y);
          if (forward < 0.35F || turn < 0.92F || aside > 0.35F * forward + 0.35F) continue;
          const float distance = aside + 0.3F * std::abs(forward - static_cast<float>(ahead));
          if (distance >= best_distance) continue;
          best_distance = distance;
          best = id;
        }
      }
      if (best >= 0) return best;
    }
    return -1;
  }

  const LineMap& map_;
  std::vector<std::uint8_t> used_;
  std::vector<int> walked_;  // number of the last walk that came by
  int walk_ = 0;
};

}  // namespace

std::array<double, 3> fit_parabola(const std::vector<std::array<double, 2>>& points) {
  std::array<double, 5> powers{};
  std::array<double, 3> right{};
  for (const auto& [t, v] : points) {
    double power = 1;
    for (std::size_t i = 0; i < 5; ++i, power *= t) {
      powers[i] += power;
      if (i < 3) right[i] += power * v;
    }
  }
  const double m00 = powers[0], m01 = powers[1], m02 = powers[2], m11 = powers[2], m12 = powers[3], m22 = powers[4];
  const double c0 = m11 * m22 - m12 * m12, c1 = m02 * m12 - m01 * m22, c2 = m01 * m12 - m02 * m11;
  const double determinant = m00 * c0 + m01 * c1 + m02 * c2;
  if (std::abs(determinant) < 1e-12) return {0, 0, 0};
  const double d11 = m00 * m22 - m02 * m02, d12 = m01 * m02 - m00 * m12, d22 = m00 * m11 - m01 * m01;
  return {(c0 * right[0] + c1 * right[1] + c2 * right[2]) / determinant,
          (c1 * right[0] + d11 * right[1] + d12 * right[2]) / determinant,
          (c2 * right[0] + d12 * right[1] + d22 * right[2]) / determinant};
}

namespace {

// Where the chain runs, as a parabola over its chord; pixels that stray at the ends (a letter's tail that touches the
// line) are left out.
bool fit_chain(const LineMap& map, Chain chain, double least_length, RuleCandidate& rule) {
  for (int round = 0; round < 4; ++round) {
    if (chain.size() < 6) return false;
    const LinePixel& first = map.pixels()[static_cast<std::size_t>(chain.front())];
    const LinePixel& last = map.pixels()[static_cast<std::size_t>(chain.back())];
    const double length = std::hypot(last.x - first.x, last.y - first.y);
    if (length < least_length) return false;
    const double ux = (last.x - first.x) / length, uy = (last.y - first.y) / length;
    std::vector<std::array<double, 2>> points;
    double strength = 0;
    for (const int id : chain) {
      const LinePixel& p = map.pixels()[static_cast<std::size_t>(id)];
      points.push_back(
          {((p.x - first.x) * ux + (p.y - first.y) * uy) / length, (p.x - first.x) * -uy + (p.y - first.y) * ux});
      strength += p.strength;
    }
    const auto [a, b, c] = fit_parabola(points);
    const auto strays = [a = a, b = b, c = c](const std::array<double, 2>& p) {
      return std::abs(a + p[0] * (b + p[0] * c) - p[1]) > 0.8;
    };
    std::size_t begin = 0;
    std::size_t end = points.size();
    while (begin < end && strays(points[begin])) ++begin;
    while (end > begin && strays(points[end - 1])) --end;
    if (begin == 0 && end == points.size()) {
      const auto straying = std::count_if(points.begin(), points.end(), strays);
      if (straying * 8 > static_cast<std::ptrdiff_t>(points.size()) || std::abs(c) / 4 > 0.12 * length) return false;
      const auto place = [&](double t, double v) {
        return PointF{map.box().left + static_cast<double>(first.x) + ux * t * length - uy * v,
                      map.box().top + static_cast<double>(first.y) + uy * t * length + ux * v};
      };
      rule.from = place(0, a);
      rule.to = place(1, a + b + c);
      rule.bend_px = -c / 4;
      rule.depth = strength / static_cast<double>(points.size());
      return true;
    }
    chain = Chain(chain.begin() + static_cast<std::ptrdiff_t>(begin), chain.begin() + static_cast<std::ptrdiff_t>(end));
  }
  return false;
}

}  // namespace

std::vector<RuleCandidate> find_rules(const GreyView& view, const BlockMask& mask, double least_length_px) {
  std::vector<RuleCandidate> rules;
  for (const BlockPart& part : connected_parts(mask)) {
    const double longest = std::max(part.right - part.left, part.bottom - part.top) * mask.block_px;
    if (longest < least_length_px) continue;
    const LineMap map{view, mask, part};
    ChainTracer tracer{map};
    for (std::size_t i = 0; i < map.pixels().size(); ++i) {
      const int id = static_cast<int>(i);
      if (tracer.used(id)) continue;
      RuleCandidate rule;
      if (fit_chain(map, tracer.trace(id), least_length_px, rule)) rules.push_back(rule);
    }
  }
  return rules;
}

}  // namespace sherdmark::label_text
