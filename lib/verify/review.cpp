#include "sherdmark/verify/review.h"

#include <algorithm>

#include "sherdmark/base/text.h"
#include "sherdmark/verify/typed_label.h"
#include "sherdmark/verify/typed_number.h"
#include "verify/outlines.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_artifact_remedy =
    "Key an artifact label's number as it stands there; nothing if you cannot read it; - if it is no label.";
constexpr std::string_view k_small_code_remedy =
    "Key an artifact label's number as it stands there; nothing if you cannot read it. A small code of ours is on it, "
    "so it is a label.";
constexpr std::string_view k_carrier_remedy =
    "This is the code of a bag label or tag. Key two things that are printed round it: the serial, eight characters "
    "behind \"print\" at the foot, and the bag's id at the top; nothing if you cannot read them; - only if it is the "
    "code "
    "of something else, and no label that was printed here.";
constexpr std::string_view k_large_print_remedy =
    "The large print of a bag label or tag stands here, and no code of it was seen. Key its serial, eight characters "
    "behind \"print\" at the foot, and the bag's id at the top; nothing if they are not in the picture. It cannot be "
    "left "
    "out by -: take the picture again without what does not belong to the set.";
constexpr std::string_view k_apart_remedy =
    "This serial and this bag id do not stand on one label that was printed here. Look at both again; nothing if you "
    "cannot read them.";

Keyed not_understood(std::string_view remedy) { return {KeyedSense::not_understood, {}, std::string{remedy}}; }

// What the person saw; of what the machine believed it had read only the small code, which was read by itself and
// which a person cannot key.
Reading placed_as(const Reading& seen, Reading reading) {
  reading.image = seen.image;
  reading.page = seen.page;
  reading.corners = seen.corners;
  reading.micro_number = seen.micro_number;
  return reading;
}

Keyed understand_carrier(const Reading& seen, std::string_view text, const CollectionView& records,
                         std::string_view remedy) {
  const TypedPrint typed = typed_print(records, text);
  if (typed.what == TypedLabel::not_together) return not_understood(k_apart_remedy);
  if (typed.what != TypedLabel::label) return not_understood(remedy);
  return {KeyedSense::understood, placed_as(seen, typed_reading(*typed.print, text)), {}};
}

bool to_key(const Reading& reading, const HouseStandard& standard) {
  const bool thin = reading.source == ReadingSource::text && reading.margin && standard.read_margin > 0 &&
                    *reading.margin < standard.read_margin;
  return reading.corners && (!reading.sure || thin);
}

// One block of print, found once from its foot and once from its head: each outline fills most of the other.
bool seen_both_ways_up(const Reading& a, const Reading& b) {
  constexpr double k_most_ratio = 1.5;
  if (a.source != ReadingSource::text || b.source != ReadingSource::text || a.micro_number || b.micro_number)
    return false;
  if (a.image != b.image || a.page != b.page || !a.corners || !b.corners) return false;
  const auto up = [](const Corners& c) { return PointF{c[0].x - c[3].x, c[0].y - c[3].y}; };
  const PointF a_up = up(*a.corners), b_up = up(*b.corners);
  const double ratio = diagonal(*a.corners) / std::max(1e-9, diagonal(*b.corners));
  return a_up.x * b_up.x + a_up.y * b_up.y < 0 && ratio < k_most_ratio && ratio > 1 / k_most_ratio &&
         contains(*a.corners, centre_of(*b.corners)) && contains(*b.corners, centre_of(*a.corners));
}

// Of two ways up the one that was read better is asked for, or else the first.
bool is_asked_instead(const std::vector<Reading>& readings, std::size_t other, std::size_t of) {
  if (!seen_both_ways_up(readings[other], readings[of])) return false;
  const double margin = readings[of].margin.value_or(0), other_margin = readings[other].margin.value_or(0);
  return other_margin > margin || (other_margin == margin && other < of);
}

}  // namespace

std::vector<std::size_t> readings_to_key(const std::vector<Reading>& readings, const HouseStandard& standard) {
  std::vector<std::size_t> waiting, asked;
  for (std::size_t i = 0; i < readings.size(); ++i)
    if (to_key(readings[i], standard)) waiting.push_back(i);
  std::copy_if(waiting.begin(), waiting.end(), std::back_inserter(asked), [&](std::size_t i) {
    return std::none_of(waiting.begin(), waiting.end(),
                        [&](std::size_t other) { return other != i && is_asked_instead(readings, other, i); });
  });
  return asked;
}

std::vector<Reading> readings_after_keying(const std::vector<Reading>& seen,
                                           const std::map<std::size_t, Keyed>& keyed) {
  std::vector<Reading> readings;
  for (std::size_t i = 0; i < seen.size(); ++i) {
    const auto answer = keyed.find(i);
    const KeyedSense sense = answer == keyed.end() ? KeyedSense::cannot_read : answer->second.sense;
    const bool is_answered = std::any_of(keyed.begin(), keyed.end(), [&](const auto& other) {
      const bool settles = other.second.sense == KeyedSense::understood || other.second.sense == KeyedSense::no_label;
      return settles && other.first != i && !seen[i].sure && seen_both_ways_up(seen[i], seen[other.first]);
    });
    if (sense == KeyedSense::understood)
      readings.push_back(*answer->second.reading);
    else if (sense != KeyedSense::no_label && !is_answered)
      readings.push_back(seen[i]);
  }
  return readings;
}

bool is_of_carrier(const Reading& seen) {
  return seen.source == ReadingSource::qr || seen.source == ReadingSource::large_print;
}

Keyed understand_keyed(const Reading& seen, std::string_view keyed, const CollectionView& records,
                       const HouseStandard& standard) {
  const std::string_view text = trim(keyed);
  if (text.empty()) return {KeyedSense::cannot_read, {}, {}};
  const bool carrier = is_of_carrier(seen), by_print = seen.source == ReadingSource::large_print;
  // What is merely seen of a code may be anybody's; what was read of it, if damaged, is ours.
  const bool code_of_ours = seen.source != ReadingSource::text && seen.text && !seen.text->empty();
  const bool on_a_label = code_of_ours || seen.micro_number;
  const std::string_view remedy = by_print     ? k_large_print_remedy
                                  : carrier    ? k_carrier_remedy
                                  : on_a_label ? k_small_code_remedy
                                               : k_artifact_remedy;
  if (text == k_no_label && (on_a_label || by_print)) return not_understood(remedy);
  if (text == k_no_label) return {KeyedSense::no_label, {}, {}};
  if (carrier) return understand_carrier(seen, text, records, remedy);
  const TypedNumber number = typed_number(records, standard, text);
  if (number.sense == TypedSense::none) return not_understood(remedy);
  if (number.sense != TypedSense::number) return not_understood(typed_number_problem(number, text));
  Reading reading;
  reading.role = LabelRole::artifact;
  reading.sure = true;
  reading.source = ReadingSource::keyed;
  reading.number = number.number;
  reading.text = std::string{text};
  return {KeyedSense::understood, placed_as(seen, std::move(reading)), {}};
}

}  // namespace sherdmark
