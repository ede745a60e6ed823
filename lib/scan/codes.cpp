#include "sherdmark/scan/codes.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <span>

#include "scan/block_threshold.h"
#include "scan/candidates.h"
#include "scan/finder_patterns.h"
#include "scan/ladder.h"
#include "scan/thread_time.h"
#include "scan/zxing_reader.h"

namespace sherdmark {
namespace {

constexpr double k_large_pixels = 2e6;             // above this, first a look at a smaller copy
constexpr double k_most_place_pixels = 0.6e6;      // a place is shrunk to about this before the ladder
constexpr int k_longest_whole = 20;                // times as long as wide: turned askew, longer strips fill memory
constexpr std::size_t k_most_candidates = 24;      // that are climbed
constexpr std::size_t k_rungs_beside_others = 11;  // when other codes of the picture were read already
constexpr double k_margin_share = 0.25;            // of a candidate, added round it
constexpr int k_least_margin_px = 12;
constexpr double k_finder_margin_share = 0.08;  // of a reading, within which a finder pattern is its own
constexpr double k_finder_half_modules = 3.5;
constexpr int k_coarse_factor = 2;
constexpr int k_near_px = 3;
constexpr int k_least_shade = 2;
constexpr double k_symbol_reach = 14;          // half finder patterns from one to the next of the same code
constexpr double k_unread_margin_share = 1.0;  // of what is seen of an unread code, added round it
constexpr double k_covered_share = 0.3;        // of a candidate's area that its readings take up

struct Box {
  double left, top, right, bottom;
  [[nodiscard]] double area() const { return std::max(right - left, 0.0) * std::max(bottom - top, 0.0); }
  [[nodiscard]] bool holds(const PointF& p) const { return p.x >= left && p.x <= right && p.y >= top && p.y <= bottom; }
};

Box box_of(const Corners& corners) {
  const auto [left, right] = std::minmax({corners[0].x, corners[1].x, corners[2].x, corners[3].x});
  const auto [top, bottom] = std::minmax({corners[0].y, corners[1].y, corners[2].y, corners[3].y});
  return {left, top, right, bottom};
}

Corners corners_of(const Box& box) {
  return {PointF{box.left, box.top}, {box.right, box.top}, {box.right, box.bottom}, {box.left, box.bottom}};
}

PointF centre(const Corners& corners) {
  PointF sum;
  for (const PointF& corner : corners) sum = {sum.x + corner.x / 4, sum.y + corner.y / 4};
  return sum;
}

Corners grown(const Corners& corners, double factor) {
  const PointF middle = centre(corners);
  Corners out = corners;
  for (PointF& corner : out)
    corner = {middle.x + factor * (corner.x - middle.x), middle.y + factor * (corner.y - middle.y)};
  return out;
}

// The same symbol seen twice; two prints of one text lie apart and stay two.
bool same_symbol(const CodeReading& a, const CodeReading& b) {
  return a.format == b.format && a.text == b.text &&
         (box_of(b.corners).holds(centre(a.corners)) || box_of(a.corners).holds(centre(b.corners)));
}

// First `inner`, then `outer`.
Affine after(const Affine& inner, const Affine& outer) {
  const PointF origin = outer({inner.x0, inner.y0});
  return {outer.xx * inner.xx + outer.xy * inner.yx, outer.xx * inner.xy + outer.xy * inner.yy, origin.x,
          outer.yx * inner.xx + outer.yy * inner.yx, outer.yx * inner.xy + outer.yy * inner.yy, origin.y};
}

// A part of the picture that is looked at on its own.
struct Place {
  GreyView view;     // of the picture itself, or of `made`
  MadePicture made;  // of a large part: a smaller copy
  Affine back;       // from the view to the picture
  Box box;
  GreyPicture two_tone;  // of the view; only of places_looked_at()
  bool read = false;
};

// A finder pattern, from its middle to its edge.
struct SeenPattern {
  PointF middle;
  double half_px;
};

class Climb {
 public:
  Climb(const GreyView& picture, const CodeReadingOptions& options) : picture_(picture), options_(options) {}

  [[nodiscard]] CodesFound found() && { return {std::move(readings_), places_unread()}; }

  void run() {
    if (picture_.empty()) return;
    look_everywhere();
    if (options_.enough && options_.enough(readings_)) return;
    find_unread();
    climb_unread();
  }

 private:
  void look_everywhere() {
    const double pixels = static_cast<double>(picture_.width_px) * picture_.height_px;
    if (pixels > k_large_pixels) {
      const int factor = static_cast<int>(std::ceil(std::sqrt(pixels / k_large_pixels)));
      small_ = shrunk(picture_, factor);
      look_at_small();
      if (done()) return;
      if (options_.nothing_missing && options_.nothing_missing(readings_)) {
        look_again_at_places();
        return;
      }
    }
    add(read_once(picture_, {.all_formats = options_.all_formats}), {});
    if (done()) return;
    std::vector<Place> places = places_to_climb();
    const std::size_t rungs = readings_.empty() ? ladder().size() : k_rungs_beside_others;
    for (const Rung& rung : ladder().first(rungs)) {
      for (Place& place : places) {
        if (place.read) continue;
        place.read = try_rung(rung, place);
        if (done()) return;
      }
    }
  }

  [[nodiscard]] bool done() const {
    return thread_time_ms() - start_ms_ >= options_.budget_ms || (options_.enough && options_.enough(readings_));
  }

  void look_at_small() {
    two_tone_ = {threshold_by_blocks(small_.picture.view()), small_.back};
    if (two_tone_.picture.empty()) {
      look(small_, Binarizer::local_average, false);  // a long strip
    } else {
      look(two_tone_, Binarizer::fixed_threshold, false);
    }
  }

  // Within the code itself, however it is turned: in a corner of the box round it another may begin.
  [[nodiscard]] bool explained(const PointF& p) const {
    return std::ranges::any_of(readings_, [&p](const CodeReading& reading) {
      return contains(grown(reading.corners, 1 + 2 * k_finder_margin_share), p);
    });
  }

  // Finder patterns that no reading explains, those that belong together as one place: in the whole picture, and at
  // full size where a code could be.
  void find_unread() {
    if (small_.picture.empty()) two_tone_ = {threshold_by_blocks(picture_), {}};
    add_unread(find_finder_patterns(two_tone_.picture.view()), two_tone_.back);
    const GreyView whole = small_.picture.empty() ? picture_ : small_.picture.view();
    const MadePicture coarse = shrunk(whole, k_coarse_factor);
    add_faint(whole, small_.back);
    add_faint(coarse.picture.view(), after(coarse.back, small_.back));
    if (small_.picture.empty()) return;
    for (const Place& place : places_looked_at()) add_unread(find_finder_patterns(place.two_tone.view()), place.back);
    // Among gravel or sherds a small or pale code is none of the strongest; to look for its squares costs little.
    for (const CodeCandidate& c : weaker()) {
      const Place place = place_round(c);
      add_unread(find_finder_patterns(threshold_by_blocks(place.view).view()), place.back);
    }
  }

  // Out of focus the squares are a faint shade darker than what lies closest about them.
  void add_faint(const GreyView& view, const Affine& back) {
    const GreyPicture two_tone = darker_than_near(view, k_near_px, k_least_shade);
    add_unread(find_finder_patterns(two_tone.view()), back);
  }

  void add_unread(const std::vector<FinderPattern>& patterns, const Affine& back) {
    for (const FinderPattern& pattern : patterns) {
      const PointF middle = back(pattern.middle);
      const double half = k_finder_half_modules * pattern.module_px * std::hypot(back.xx, back.yx);
      if (!explained(middle)) unexplained_.push_back({middle, half});
    }
  }

  // Those that may be of one code, as one place.
  [[nodiscard]] std::vector<Corners> places_unread() const {
    std::vector<Corners> places;
    for (const auto& [middle, half] : unexplained_) {
      const Box own{middle.x - half, middle.y - half, middle.x + half, middle.y + half};
      const double reach = k_symbol_reach * half;
      const auto near = std::ranges::find_if(places, [&, middle = middle](const Corners& old) {
        const Box box = box_of(old);
        return Box{box.left - reach, box.top - reach, box.right + reach, box.bottom + reach}.holds(middle);
      });
      if (near == places.end()) {
        places.push_back(corners_of(own));
      } else {
        const Box box = box_of(*near);
        *near = corners_of({std::min(box.left, own.left), std::min(box.top, own.top), std::max(box.right, own.right),
                            std::max(box.bottom, own.bottom)});
      }
    }
    return places;
  }

  // Two codes that lie close together are one place: that one was read says nothing of the other.
  [[nodiscard]] bool all_explained(const Box& box) const {
    return std::ranges::none_of(
        unexplained_, [&](const SeenPattern& seen) { return box.holds(seen.middle) && !explained(seen.middle); });
  }

  // The ladder for places where a code is seen, however much else was read.
  void climb_unread() {
    for (const Corners& corners : places_unread()) {
      const Box box = box_of(corners);
      const double margin = k_unread_margin_share * std::max(box.right - box.left, box.bottom - box.top);
      const Place place = place_at(static_cast<int>(box.left - margin), static_cast<int>(box.top - margin),
                                   static_cast<int>(box.right - box.left + 2 * margin),
                                   static_cast<int>(box.bottom - box.top + 2 * margin));
      for (const Rung& rung : ladder().first(k_rungs_beside_others)) {
        if (done() || all_explained(box)) break;
        (void)try_rung(rung, place);
      }
    }
    std::erase_if(unexplained_, [this](const SeenPattern& seen) { return explained(seen.middle); });
  }

  // At full size, once: whatever looks like a code and was too small in the smaller copy. What is too large or too
  // blurred for that was seen there.
  void look_again_at_places() {
    for (const Place& place : places_looked_at()) {
      if (done()) return;
      const bool is_strip = place.two_tone.empty();
      const Binarizer binarizer = is_strip ? Binarizer::local_average : Binarizer::fixed_threshold;
      add(read_once(is_strip ? place.view : place.two_tone.view(),
                    {.binarizer = binarizer, .downscale = false, .all_formats = false}),
          place.back);
    }
  }

  // In black and white, when they are first asked for.
  const std::vector<Place>& places_looked_at() {
    if (looked_at_) return *looked_at_;
    looked_at_ = places_to_climb();
    for (Place& place : *looked_at_) place.two_tone = threshold_by_blocks(place.view);
    return *looked_at_;
  }

  // True when something was read.
  bool try_rung(const Rung& rung, const Place& place) {
    if (rung.prepare != nullptr) return look(rung.prepare(place.view), rung.binarizer, true, place.back);
    std::vector<CodeReading> found = rung.read(place.view);
    const bool any = !found.empty();
    add(std::move(found), place.back);
    return any;
  }

  bool look(const MadePicture& made, Binarizer binarizer, bool downscale, const Affine& further_back = {}) {
    std::vector<CodeReading> found =
        read_once(made.picture.view(), {.binarizer = binarizer, .downscale = downscale, .all_formats = false});
    for (CodeReading& reading : found)
      for (PointF& corner : reading.corners) corner = made.back(corner);
    const bool any = !found.empty();
    add(std::move(found), further_back);
    return any;
  }

  void add(std::vector<CodeReading> found, const Affine& back) {
    for (CodeReading& reading : found) {
      for (PointF& corner : reading.corners) corner = back(corner);
      const auto same = [&reading](const CodeReading& old) { return same_symbol(old, reading); };
      if (std::none_of(readings_.begin(), readings_.end(), same)) readings_.push_back(std::move(reading));
    }
  }

  [[nodiscard]] bool covered(const Box& box) const {
    double area = 0;
    for (const CodeReading& reading : readings_)
      if (box.holds(centre(reading.corners))) area += box_of(reading.corners).area();
    return area >= k_covered_share * box.area();
  }

  [[nodiscard]] Place place_at(int x, int y, int width, int height) const {
    Place place;
    place.view = picture_.crop(x, y, width, height);
    const int left = std::clamp(x, 0, picture_.width_px);
    const int top = std::clamp(y, 0, picture_.height_px);
    place.box = {static_cast<double>(left), static_cast<double>(top), static_cast<double>(left + place.view.width_px),
                 static_cast<double>(top + place.view.height_px)};
    const double pixels = static_cast<double>(place.view.width_px) * place.view.height_px;
    const int factor = std::max(1, static_cast<int>(std::sqrt(pixels / k_most_place_pixels)));
    if (factor > 1) {
      place.made = shrunk(place.view, factor);
      place.view = place.made.picture.view();
      place.back = place.made.back;
    }
    place.back.x0 = left;
    place.back.y0 = top;
    return place;
  }

  // All of them, the strongest first.
  const std::vector<CodeCandidate>& candidates() {
    if (!candidates_) candidates_ = find_candidates(picture_, small_.picture.empty() ? nullptr : &small_.picture);
    return *candidates_;
  }

  // Those that are climbed, and the others.
  [[nodiscard]] std::span<const CodeCandidate> strongest() {
    const std::span<const CodeCandidate> all{candidates()};
    return all.first(std::min(all.size(), k_most_candidates));
  }
  [[nodiscard]] std::span<const CodeCandidate> weaker() {
    return std::span<const CodeCandidate>{candidates()}.subspan(strongest().size());
  }

  [[nodiscard]] Place place_round(const CodeCandidate& c) const {
    const int margin =
        std::max(k_least_margin_px, static_cast<int>(k_margin_share * std::max(c.width_px, c.height_px)));
    return place_at(c.x - margin, c.y - margin, c.width_px + 2 * margin, c.height_px + 2 * margin);
  }

  [[nodiscard]] bool is_one_place() const {
    const auto [shorter, longer] = std::minmax(picture_.width_px, picture_.height_px);
    return static_cast<double>(shorter) * longer <= k_large_pixels && longer / shorter <= k_longest_whole;
  }

  // The strongest candidates that no reading covers; the whole of a small picture when nothing was read in it at all.
  [[nodiscard]] std::vector<Place> places_to_climb() {
    std::vector<Place> places;
    if (readings_.empty() && is_one_place()) places.push_back(place_at(0, 0, picture_.width_px, picture_.height_px));
    for (const CodeCandidate& c : strongest()) {
      const Box box{static_cast<double>(c.x), static_cast<double>(c.y), static_cast<double>(c.x + c.width_px),
                    static_cast<double>(c.y + c.height_px)};
      if (!covered(box)) places.push_back(place_round(c));
    }
    return places;
  }

  const GreyView& picture_;
  const CodeReadingOptions& options_;
  double start_ms_ = thread_time_ms();
  MadePicture small_;  // of a large picture
  MadePicture two_tone_;
  std::optional<std::vector<CodeCandidate>> candidates_;  // once they were asked for
  std::optional<std::vector<Place>> looked_at_;           // at full size, for codes beside those of the smaller copy
  std::vector<CodeReading> readings_;
  std::vector<SeenPattern> unexplained_;
};

}  // namespace

CodesFound find_codes(const GreyView& picture, const CodeReadingOptions& options) {
  Climb climb{picture, options};
  climb.run();
  return std::move(climb).found();
}

std::vector<CodeReading> read_codes(const GreyView& picture, const CodeReadingOptions& options) {
  return find_codes(picture, options).readings;
}

}  // namespace sherdmark
