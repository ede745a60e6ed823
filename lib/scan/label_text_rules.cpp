#include "scan/label_text_rules.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <optional>

#include "sherdmark/base/wide.h"

namespace sherdmark::label_text {
namespace {

using Chain = std::vector<int>;  // ids in order

// As std::floor does, which is a call where the machine's newer instructions may not be used.
int rounded_down(float value) {
  const int towards_zero = static_cast<int>(value);
  return static_cast<float>(towards_zero) > value ? towards_zero - 1 : towards_zero;
}

class ChainTracer {
 public:
  // Only the line pixels of the blocks that `where` marks.
  ChainTracer(const LineMap& map, const BlockMask& where)
      : map_{map}, used_{map.outside(where)}, walked_(map.pixels().size(), 0) {}

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
  [[nodiscard]] SHERDMARK_WIDE Chain walk(int seed, float sign) {
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
      const float length = std::sqrt(direction_x * direction_x + direction_y * direction_y);
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
      const int pixel_x = rounded_down(x), pixel_y = rounded_down(y);
      int best = -1;
      float best_distance = 1.0F;
      for (int dy = -1; dy <= 1; ++dy) {
        for (int dx = -1; dx <= 1; ++dx) {
          const int id = map_.id(pixel_x + dx, pixel_y + dy);
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

constexpr std::size_t k_least_chain = 6;  // pixels

// Where the chain runs, as a parabola over its chord; pixels that stray at the ends (a letter's tail that touches the
// line) are left out: `left_at_start` and `left_at_end` of them.
struct FittedChain {
  RuleCandidate rule;
  std::size_t left_at_start = 0;
  std::size_t left_at_end = 0;
};

std::optional<FittedChain> fit_chain(const LineMap& map, Chain chain, double least_length) {
  FittedChain fitted;
  RuleCandidate& rule = fitted.rule;
  for (int round = 0; round < 4; ++round) {
    if (chain.size() < k_least_chain) return std::nullopt;
    const LinePixel& first = map.pixels()[static_cast<std::size_t>(chain.front())];
    const LinePixel& last = map.pixels()[static_cast<std::size_t>(chain.back())];
    const double length = std::hypot(last.x - first.x, last.y - first.y);
    if (length < least_length) return std::nullopt;
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
      if (straying * 8 > static_cast<std::ptrdiff_t>(points.size()) || std::abs(c) / 4 > 0.12 * length)
        return std::nullopt;
      const auto place = [&](double t, double v) {
        return PointF{static_cast<double>(first.x) + ux * t * length - uy * v,
                      static_cast<double>(first.y) + uy * t * length + ux * v};
      };
      rule.from = place(0, a);
      rule.to = place(1, a + b + c);
      rule.bend_px = -c / 4;
      rule.depth = strength / static_cast<double>(points.size());
      return fitted;
    }
    fitted.left_at_start += begin;
    fitted.left_at_end += chain.size() - end;
    chain = Chain(chain.begin() + static_cast<std::ptrdiff_t>(begin), chain.begin() + static_cast<std::ptrdiff_t>(end));
  }
  return std::nullopt;
}

// Where a chain turns most: the pixel farthest from the line through its ends, or the gap right beside it.
std::size_t corner_of(const LineMap& map, const Chain& chain) {
  const auto at = [&](int id) { return map.pixels()[static_cast<std::size_t>(id)]; };
  const LinePixel first = at(chain.front()), last = at(chain.back());
  std::size_t corner = 0;
  float farthest = -1;
  for (std::size_t i = 0; i < chain.size(); ++i) {
    const LinePixel p = at(chain[i]);
    const float off = std::abs((p.x - first.x) * (last.y - first.y) - (p.y - first.y) * (last.x - first.x));
    if (off > farthest) farthest = off, corner = i;
  }
  constexpr std::size_t k_beside = 6;
  constexpr float k_gap_px = 1.6F;
  float widest = k_gap_px;
  const std::size_t to = std::min(chain.size(), corner + k_beside + 1);
  for (std::size_t i = std::max<std::size_t>(1, corner > k_beside ? corner - k_beside : 1); i < to; ++i) {
    const float step = std::hypot(at(chain[i]).x - at(chain[i - 1]).x, at(chain[i]).y - at(chain[i - 1]).y);
    if (step > widest) widest = step, corner = i;
  }
  return corner;
}

// The long straight lines of which a chain is made that is not one line itself: a rule may end where the edge of a
// paper or another line begins. What is bent is the round of a letter, what is short one of its strokes.
void add_straight_parts(const LineMap& map, const Chain& chain, double least_length, int depth,
                        std::vector<RuleCandidate>& rules) {
  constexpr double k_most_bend = 0.02;  // of its length
  constexpr int k_most_depth = 3;
  if (chain.size() < std::max<std::size_t>(k_least_chain, static_cast<std::size_t>(least_length / 2))) return;
  const auto part = [&](std::size_t from, std::size_t to) {
    return Chain(chain.begin() + static_cast<std::ptrdiff_t>(from), chain.begin() + static_cast<std::ptrdiff_t>(to));
  };
  const auto fitted = fit_chain(map, chain, least_length);
  if (!fitted) {
    const std::size_t corner = corner_of(map, chain);
    if (depth == k_most_depth || corner == 0 || corner + 1 == chain.size()) return;
    add_straight_parts(map, part(0, corner), least_length, depth + 1, rules);
    add_straight_parts(map, part(corner, chain.size()), least_length, depth + 1, rules);
    return;
  }
  const double length = std::hypot(fitted->rule.to.x - fitted->rule.from.x, fitted->rule.to.y - fitted->rule.from.y);
  if (std::abs(fitted->rule.bend_px) <= k_most_bend * length) rules.push_back(fitted->rule);
}

}  // namespace

std::vector<RuleCandidate> find_rules(const LineMap& map, const BlockMask& where, double least_length_px) {
  constexpr double k_least_part = 4;  // of the least length of a line: a stroke of a letter may be half so long
  const double least_part_px = k_least_part * least_length_px;
  std::vector<RuleCandidate> rules;
  ChainTracer tracer{map, where};
  for (std::size_t i = 0; i < map.pixels().size(); ++i) {
    const int id = static_cast<int>(i);
    if (tracer.used(id)) continue;
    const Chain chain = tracer.trace(id);
    const auto fitted = fit_chain(map, chain, least_length_px);
    if (!fitted) {
      add_straight_parts(map, chain, least_part_px, 0, rules);
      continue;
    }
    rules.push_back(fitted->rule);
    const auto start = static_cast<std::ptrdiff_t>(fitted->left_at_start);
    const auto end = static_cast<std::ptrdiff_t>(fitted->left_at_end);
    add_straight_parts(map, Chain(chain.begin(), chain.begin() + start), least_part_px, 0, rules);
    add_straight_parts(map, Chain(chain.end() - end, chain.end()), least_part_px, 0, rules);
  }
  return rules;
}

bool is_cut_off(const RuleCandidate& rule, const GreyView& picture) {
  constexpr double k_least_way = 0.5;      // of its length that it leads away from the border: at 30° to it and more
  const double reach = 4 * rule.scale_px;  // the outermost pixels have no neighbours, and an end is measured roughly
  const double least = k_least_way * std::hypot(rule.to.x - rule.from.x, rule.to.y - rule.from.y);
  const auto into = [&](double a, double b) { return std::min(a, b) < reach && std::abs(a - b) > least; };
  return into(rule.from.x, rule.to.x) || into(rule.from.y, rule.to.y) ||
         into(picture.width_px - rule.from.x, picture.width_px - rule.to.x) ||
         into(picture.height_px - rule.from.y, picture.height_px - rule.to.y);
}

}  // namespace sherdmark::label_text
