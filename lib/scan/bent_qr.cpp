// A bent QR symbol: three finders, the alignment pattern opposite, and a grid bent over all that is known of it.
#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "scan/bent_symbols.h"
#include "scan/module_grid.h"
#include "scan/picture_filters.h"
#include "scan/zxing_reader.h"
#include "sherdmark/code/reference_decode.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_most_noted = 1000;
constexpr std::size_t k_most_finders = 8;  // of those, that are put together
constexpr std::size_t k_most_triples = 6;
constexpr double k_level = 128;              // between dark and light after evening
constexpr double k_least_flat_match = 0.65;  // half would be chance
constexpr double k_least_fitted_match = 0.75;
constexpr double k_least_bent_match = 0.85;
constexpr int k_redrawn_module_px = 4;
constexpr int k_least_side_px = 30;

struct Finder {
  PointF middle;
  double module_px = 0;
  int hits = 0;
};

// Lengths of five runs, dark first: 1 : 1 : 3 : 1 : 1 with room for blur and tilt.
std::optional<double> finder_module(const std::array<int, 5>& runs) {
  double total = 0;
  for (const int run : runs) total += run;
  const double module = total / 7;
  if (module < 1) return std::nullopt;
  constexpr std::array k_parts = {1.0, 1.0, 3.0, 1.0, 1.0};
  for (std::size_t i = 0; i < 5; ++i)
    if (std::abs(runs[i] - k_parts[i] * module) > 0.6 * module * (i == 2 ? 1.5 : 1)) return std::nullopt;
  return module;
}

bool is_dark(const GreyView& picture, int x, int y) { return picture.at(x, y) < k_level; }

// The same runs down through (x, y); gives the middle of the pattern.
std::optional<double> middle_down(const GreyView& picture, int x, int y, double module) {
  const int longest = static_cast<int>(5 * module) + 2;
  std::array<int, 5> runs{};
  const auto count = [&](int from, int step, bool dark) {
    int length = 0;
    for (int at = from; at >= 0 && at < picture.height_px && length <= longest; at += step, ++length)
      if (is_dark(picture, x, at) != dark) break;
    return length;
  };
  const int up = count(y, -1, true);
  const int down = count(y + 1, 1, true);
  runs[2] = up + down;
  runs[1] = count(y - up, -1, false);
  runs[0] = count(y - up - runs[1], -1, true);
  runs[3] = count(y + 1 + down, 1, false);
  runs[4] = count(y + 1 + down + runs[3], 1, true);
  const auto found = finder_module(runs);
  if (!found || *found > 2 * module || *found < module / 2) return std::nullopt;
  return y + 1 + (down - up) / 2.0;
}

void note(std::vector<Finder>& finders, const PointF& middle, double module) {
  for (Finder& known : finders) {
    if (std::hypot(known.middle.x - middle.x, known.middle.y - middle.y) > 3 * known.module_px) continue;
    const double weight = known.hits;
    known.middle = {(known.middle.x * weight + middle.x) / (weight + 1),
                    (known.middle.y * weight + middle.y) / (weight + 1)};
    known.module_px = (known.module_px * weight + module) / (weight + 1);
    ++known.hits;
    return;
  }
  if (finders.size() < k_most_noted) finders.push_back({middle, module, 1});
}

std::vector<Finder> find_finders(const GreyView& picture) {
  std::vector<Finder> finders;
  for (int y = 0; y < picture.height_px; ++y) {
    std::array<int, 5> runs{};
    bool dark = false;
    int length = 0;
    for (int x = 0; x <= picture.width_px; ++x) {
      const bool now = x < picture.width_px && is_dark(picture, x, y);
      if (x < picture.width_px && now == dark) {
        ++length;
        continue;
      }
      std::rotate(runs.begin(), runs.begin() + 1, runs.end());
      runs[4] = length;
      const auto module = dark ? finder_module(runs) : std::nullopt;
      if (module) {
        const double middle_x = x - runs[4] - runs[3] - runs[2] / 2.0;
        if (const auto middle_y = middle_down(picture, static_cast<int>(middle_x), y, *module))
          note(finders, {middle_x, *middle_y}, *module);
      }
      dark = now;
      length = 1;
    }
  }
  std::erase_if(finders, [](const Finder& finder) { return finder.hits < 2; });
  std::stable_sort(finders.begin(), finders.end(), [](const Finder& a, const Finder& b) { return a.hits > b.hits; });
  if (finders.size() > k_most_finders) finders.resize(k_most_finders);
  return finders;
}

struct Triple {
  PointF top_left, top_right, bottom_left;
  double module_px = 0;
  double crookedness = 0;
};

std::optional<Triple> triple_of(const Finder& corner, const Finder& one, const Finder& other) {
  Triple triple{corner.middle, one.middle, other.middle, 0, 0};
  const auto cross = [&triple] {
    return (triple.top_right.x - triple.top_left.x) * (triple.bottom_left.y - triple.top_left.y) -
           (triple.top_right.y - triple.top_left.y) * (triple.bottom_left.x - triple.top_left.x);
  };
  if (cross() < 0) std::swap(triple.top_right, triple.bottom_left);
  const auto [least, most] = std::minmax({corner.module_px, one.module_px, other.module_px});
  const double across = distance(triple.top_left, triple.top_right);
  const double down = distance(triple.top_left, triple.bottom_left);
  const double sine = across * down == 0 ? 0 : cross() / (across * down);
  triple.module_px = (corner.module_px + one.module_px + other.module_px) / 3;
  if (most > 2 * least || sine < 0.6 || std::max(across, down) > 2 * std::min(across, down)) return std::nullopt;
  if (std::min(across, down) < 10 * triple.module_px) return std::nullopt;
  triple.crookedness = (1 - sine) + std::max(across, down) / std::min(across, down) - 1 + most / least - 1;
  return triple;
}

std::vector<Triple> find_triples(const std::vector<Finder>& finders) {
  std::vector<Triple> triples;
  for (std::size_t corner = 0; corner < finders.size(); ++corner)
    for (std::size_t one = 0; one < finders.size(); ++one)
      for (std::size_t other = one + 1; other < finders.size(); ++other)
        if (one != corner && other != corner)
          if (const auto triple = triple_of(finders[corner], finders[one], finders[other])) triples.push_back(*triple);
  std::stable_sort(triples.begin(), triples.end(),
                   [](const Triple& a, const Triple& b) { return a.crookedness < b.crookedness; });
  if (triples.size() > k_most_triples) triples.resize(k_most_triples);
  return triples;
}

GridShape shape_of(int version) {
  const int side = 17 + 4 * version;
  GridShape shape{side, side, std::vector<Module>(static_cast<std::size_t>(side) * static_cast<std::size_t>(side))};
  const auto set = [&shape, side](int x, int y, bool dark) {
    if (x < 0 || y < 0 || x >= side || y >= side) return;
    shape.known[static_cast<std::size_t>(y * side + x)] = dark ? Module::dark : Module::light;
  };
  const auto ring_pattern = [&set](int cx, int cy, int reach, auto dark_ring) {
    for (int y = -reach; y <= reach; ++y)
      for (int x = -reach; x <= reach; ++x) set(cx + x, cy + y, dark_ring(std::max(std::abs(x), std::abs(y))));
  };
  for (int i = 8; i < side - 8; ++i) set(i, 6, i % 2 == 0), set(6, i, i % 2 == 0);
  const std::vector<int> centres = qr_alignment_centres(version);
  for (const int cx : centres)
    for (const int cy : centres) {
      const bool on_finder = (cx == 6 && (cy == 6 || cy == side - 7)) || (cx == side - 7 && cy == 6);
      if (!on_finder) ring_pattern(cx, cy, 2, [](int ring) { return ring != 1; });
    }
  const auto finder = [](int ring) { return ring <= 1 || ring == 3; };
  ring_pattern(3, 3, 4, finder);
  ring_pattern(side - 4, 3, 4, finder);
  ring_pattern(3, side - 4, 4, finder);
  return shape;
}

// How much the 5 × 5 pattern round `middle` looks like an alignment pattern, given the steps of one module.
double alignment_likeness(const GreyView& picture, const PointF& middle, const PointF& right, const PointF& down) {
  double likeness = 0;
  for (int y = -2; y <= 2; ++y) {
    for (int x = -2; x <= 2; ++x) {
      const int px = static_cast<int>(middle.x + x * right.x + y * down.x);
      const int py = static_cast<int>(middle.y + x * right.y + y * down.y);
      if (px < 0 || py < 0 || px >= picture.width_px || py >= picture.height_px) return -1e9;
      const double lightness = picture.at(px, py) - k_level;
      likeness += std::max(std::abs(x), std::abs(y)) == 1 ? lightness : -lightness;
    }
  }
  return likeness;
}

// Outer corners of the symbol. The fourth comes from the alignment pattern nearest to it, looked for about where the
// parallelogram of the finders has it; without one it stays there.
Corners corners_of(const GreyView& picture, const Triple& triple, int version) {
  const double side = 17 + 4 * version;
  const double span = side - 7;
  const PointF right{(triple.top_right.x - triple.top_left.x) / span, (triple.top_right.y - triple.top_left.y) / span};
  const PointF down{(triple.bottom_left.x - triple.top_left.x) / span,
                    (triple.bottom_left.y - triple.top_left.y) / span};
  const auto at = [&](double column, double row) {
    return PointF{triple.top_left.x + (column - 3.5) * right.x + (row - 3.5) * down.x,
                  triple.top_left.y + (column - 3.5) * right.y + (row - 3.5) * down.y};
  };
  Corners corners = {at(0, 0), at(side, 0), at(side, side), at(0, side)};
  if (version < 2) return corners;
  const double reach = std::max(4.0, side / 6);
  double most = -1e8;
  PointF shift{};
  for (double dy = -reach; dy <= reach; dy += 0.5) {
    for (double dx = -reach; dx <= reach; dx += 0.5) {
      const PointF middle = at(side - 6.5 + dx, side - 6.5 + dy);
      const double likeness = alignment_likeness(picture, middle, right, down) - 8 * std::hypot(dx, dy);
      if (likeness > most) most = likeness, shift = {dx, dy};
    }
  }
  // The corner lies a little farther out than the pattern, in proportion.
  const double farther = side / (side - 6.5);
  corners[2] = at(side + shift.x * farther, side + shift.y * farther);
  return corners;
}

struct Try {
  Corners corners;
  int version;
  double match;
};

std::vector<CodeReading> read_triple(const GreyView& picture, const Triple& triple) {
  const double span = (distance(triple.top_left, triple.top_right) + distance(triple.top_left, triple.bottom_left)) / 2;
  const int guess = static_cast<int>(std::lround((span / triple.module_px + 7 - 17) / 4));
  std::vector<Try> tries;
  for (int version = std::max(1, guess - 2); version <= std::min(40, guess + 2); ++version) {
    const GridShape shape = shape_of(version);
    const Corners corners = corners_of(picture, triple, version);
    ModuleGrid grid{picture, corners, shape, k_level};
    if (grid.match() < k_least_flat_match) continue;
    grid.fit();
    if (grid.match() >= k_least_fitted_match) tries.push_back({corners, version, grid.match()});
  }
  std::stable_sort(tries.begin(), tries.end(), [](const Try& a, const Try& b) { return a.match > b.match; });
  if (tries.size() > 2) tries.resize(2);
  for (const Try& one : tries) {
    const GridShape shape = shape_of(one.version);
    ModuleGrid grid{picture, one.corners, shape, k_level};
    grid.fit();
    grid.bend();
    if (grid.match() < k_least_bent_match) continue;
    std::vector<CodeReading> readings = read_clean(grid.redrawn(k_redrawn_module_px).view(), SymbolFormat::qr);
    for (CodeReading& reading : readings) reading.corners = grid.corners();
    if (!readings.empty()) return readings;
  }
  return {};
}

}  // namespace

std::vector<CodeReading> read_bent_qr(const GreyView& place) {
  const int side = std::min(place.width_px, place.height_px);
  if (side < k_least_side_px) return {};
  const GreyPicture even = evened(place, std::max(15, side / 8));
  for (const Triple& triple : find_triples(find_finders(even.view()))) {
    std::vector<CodeReading> readings = read_triple(even.view(), triple);
    if (!readings.empty()) return readings;
  }
  return {};
}

}  // namespace sherdmark
