#include "verify/merge.h"

#include <algorithm>
#include <map>
#include <tuple>
#include <utility>

#include "verify/outlines.h"

namespace sherdmark {
namespace {

using Picture = std::pair<std::string, int>;

Picture picture_of(const Reading& reading) { return {reading.image, reading.page}; }

// Two readings at one place of one picture are one label.
bool at_one_place(const Reading& a, const Reading& b) {
  if (picture_of(a) != picture_of(b) || !a.corners || !b.corners) return false;
  return contains(*b.corners, centre_of(*a.corners)) || contains(*a.corners, centre_of(*b.corners));
}

bool given(const std::optional<std::string>& text) { return text && !text->empty(); }

// The part a carrier must have to be tied to a record and lacks; empty when it is whole.
std::string missing_part(const Reading& reading) {
  const bool keyed = reading.source == ReadingSource::keyed;  // the collection key is not printed for people
  if (!given(reading.collection_key) && !keyed) return "collection key";
  if (!given(reading.serial)) return "serial";
  switch (reading.role) {
    case LabelRole::bag:
    case LabelRole::tag:
      return given(reading.bag) ? "" : "bag id";
    case LabelRole::box:
    case LabelRole::shelf:
      return given(reading.place) ? "" : "place";
    case LabelRole::field_tag:
      return given(reading.number) ? "" : "field number";
    default:
      return "";
  }
}

bool is_slip(LabelRole role) {
  return role == LabelRole::divider || role == LabelRole::removal_slip || role == LabelRole::action;
}

template <typename T>
bool differs(const std::optional<T>& a, const std::optional<T>& b, bool forgiving) {
  if (forgiving && (!a || !b)) return false;  // a person keys what is printed; a code carries more
  return a != b;
}

// Readings at one place in one picture count once.
int most_in_one_picture(const std::vector<const Reading*>& group) {
  std::map<Picture, std::vector<const Reading*>> places;
  std::size_t most = 0;
  for (const Reading* reading : group) {
    auto& here = places[picture_of(*reading)];
    if (std::none_of(here.begin(), here.end(), [&](const Reading* other) { return at_one_place(*reading, *other); }))
      here.push_back(reading);
    most = std::max(most, here.size());
  }
  return static_cast<int>(most);
}

void merge_carriers(const std::vector<Reading>& readings, MergedReadings& merged) {
  std::vector<std::vector<const Reading*>> groups;
  for (const Reading& reading : readings) {
    const auto same = std::find_if(groups.begin(), groups.end(),
                                   [&](const auto& group) { return group.front()->serial == reading.serial; });
    if (same != groups.end()) {
      same->push_back(&reading);
    } else {
      groups.push_back({&reading});
    }
  }
  for (auto& group : groups) {
    // What a person keyed lacks what a code carries, so it is measured by the codes, never the codes by it.
    std::stable_partition(group.begin(), group.end(),
                          [](const Reading* reading) { return reading->source != ReadingSource::keyed; });
    const int copies = most_in_one_picture(group);
    std::vector<const Reading*> contents;  // what the group says, each once
    for (const Reading* reading : group)
      if (std::none_of(contents.begin(), contents.end(),
                       [&](const Reading* other) { return !contradict(*reading, *other); }))
        contents.push_back(reading);
    if (contents.size() > 1 && copies == 1) {
      for (const Reading* reading : contents) merged.unsure.push_back({*reading, ReasonCode::conflicting_readings, {}});
    } else {
      for (const Reading* reading : contents) merged.carriers.push_back({*reading, copies});
    }
  }
}

// Joins artifact readings at one place: the same number is one label, a text and its code become one reading, different
// numbers are a label that was not read surely.
std::vector<Reading> join_at_one_place(std::vector<Reading> readings, std::vector<UnsureReading>& unsure) {
  std::vector<Reading> joined;
  std::vector<bool> spoilt;
  for (Reading& reading : readings) {
    bool found = false;
    for (std::size_t i = 0; i < joined.size() && !found; ++i) {
      Reading& other = joined[i];
      if (!at_one_place(reading, other)) continue;
      found = true;
      if (reading.number != other.number) {
        unsure.push_back({reading, ReasonCode::conflicting_readings, {}});
        spoilt[i] = true;
      } else if (is_code(other.source) && !is_code(reading.source)) {
        std::swap(other, reading);
        other.micro_number = reading.number;
      } else if (is_code(reading.source) && !is_code(other.source)) {
        other.micro_number = reading.number;
      }
    }
    if (!found) {
      joined.push_back(std::move(reading));
      spoilt.push_back(false);
    }
  }
  std::vector<Reading> kept;
  for (std::size_t i = 0; i < joined.size(); ++i) {
    if (spoilt[i]) {
      unsure.push_back({std::move(joined[i]), ReasonCode::conflicting_readings, {}});
    } else {
      kept.push_back(std::move(joined[i]));
    }
  }
  return kept;
}

// A crop that a person keyed, without a small code of its own that was read with it.
bool is_keyed_crop(const Reading& reading) {
  return reading.source == ReadingSource::keyed && reading.corners && !reading.micro_number;
}

// How far from each other two outlines surely are two labels: more than twice as far as the longest label of this
// number that was read whole in this picture, should the covered one lie nearer to the camera. std::nullopt when none
// was.
std::optional<double> surely_apart_px(const std::vector<const Reading*>& labels) {
  constexpr double k_lengths = 2;
  double longest = 0;
  for (const Reading* label : labels)
    if (label->source == ReadingSource::text && label->corners) longest = std::max(longest, diagonal(*label->corners));
  return longest > 0 ? std::optional{k_lengths * longest} : std::nullopt;
}

// Labels that keyed crops show for certain, beside those that were read. Crops near each other, by ones between them
// too, may show one label; crops near a label that was read may show that one.
std::int64_t labels_surely_keyed(const std::vector<const Reading*>& labels) {
  const auto apart_px = surely_apart_px(labels);
  const auto near = [&](const Reading* a, const Reading* b) {
    return !apart_px || !a->corners || !b->corners || gap_between(*a->corners, *b->corners) <= *apart_px;
  };
  std::vector<bool> reached(labels.size(), false);
  std::int64_t count = 0;
  for (std::size_t i = 0; i < labels.size(); ++i) {
    if (reached[i]) continue;
    bool all_keyed = true;
    std::vector<std::size_t> open{i};
    reached[i] = true;
    while (!open.empty()) {
      const Reading* label = labels[open.back()];
      open.pop_back();
      all_keyed = all_keyed && is_keyed_crop(*label);
      for (std::size_t j = 0; j < labels.size(); ++j) {
        if (reached[j] || !near(label, labels[j])) continue;
        reached[j] = true;
        open.push_back(j);
      }
    }
    if (all_keyed) ++count;
  }
  return count;
}

struct Tally {
  std::int64_t whole = 0;  // text with its own small code
  std::int64_t text = 0;   // text alone
  std::int64_t code = 0;   // small code alone
  std::int64_t keyed = 0;  // crops
  std::vector<const Reading*> labels{};

  void add(const Reading& reading) {
    if (is_keyed_crop(reading)) {
      ++keyed;
    } else if (reading.micro_number) {
      ++whole;
    } else if (is_code(reading.source)) {
      ++code;
    } else {
      ++text;
    }
    labels.push_back(&reading);
  }
  [[nodiscard]] std::int64_t surely_keyed() const { return keyed == 0 ? 0 : labels_surely_keyed(labels); }
};

void count_artifacts(const std::vector<Reading>& readings, MergedReadings& merged) {
  std::map<std::pair<std::string, Picture>, Tally> tallies;
  for (const Reading& reading : readings) {
    tallies[{*reading.number, picture_of(reading)}].add(reading);
    if (std::none_of(merged.artifacts.begin(), merged.artifacts.end(),
                     [&](const ArtifactCount& count) { return count.number == *reading.number; }))
      merged.artifacts.push_back({*reading.number, 0, 0});
  }
  for (ArtifactCount& count : merged.artifacts)
    for (const auto& [key, tally] : tallies) {
      if (key.first != count.number) continue;
      const std::int64_t keyed = tally.surely_keyed();
      count.at_least = std::max(count.at_least, tally.whole + std::max(tally.text, tally.code) + keyed);
      count.at_most = std::max(count.at_most, tally.whole + tally.text + tally.code + tally.keyed);
      count.keyed_in_doubt = count.keyed_in_doubt || keyed < tally.keyed;
    }
}

std::optional<UnsureReading> why_unsure(const Reading& reading, double least_margin) {
  if (reading.newer_format) return UnsureReading{reading, ReasonCode::newer_format, {}};
  if (!reading.sure) return UnsureReading{reading, ReasonCode::not_read_surely, {}};
  if (is_slip(reading.role)) return std::nullopt;
  if (reading.role != LabelRole::artifact) {
    const std::string part = missing_part(reading);
    if (!part.empty()) return UnsureReading{reading, ReasonCode::serial_not_read, part};
    return std::nullopt;
  }
  if (!given(reading.number)) return UnsureReading{reading, ReasonCode::not_read_surely, {}};
  if (reading.micro_number && reading.micro_number != reading.number)
    return UnsureReading{reading, ReasonCode::micro_code_conflict, {}};
  const bool thin = reading.margin && !(*reading.margin >= least_margin);
  if (reading.source == ReadingSource::text && least_margin > 0 && thin)
    return UnsureReading{reading, ReasonCode::low_margin, {}};
  return std::nullopt;
}

}  // namespace

bool contradict(const Reading& a, const Reading& b) {
  const bool forgiving = a.source == ReadingSource::keyed || b.source == ReadingSource::keyed;
  const bool by_key = forgiving && a.number_is_opaque != b.number_is_opaque;  // the code of a sensitive bag
  return a.role != b.role || differs(a.collection_key, b.collection_key, forgiving) ||
         (!by_key && differs(a.number, b.number, forgiving)) || differs(a.bag, b.bag, forgiving) ||
         differs(a.revision, b.revision, forgiving) || differs(a.ordinal, b.ordinal, forgiving) ||
         differs(a.place, b.place, forgiving);
}

MergedReadings merge_readings(const std::vector<Reading>& readings, double least_margin) {
  MergedReadings merged;
  std::vector<Reading> carriers;
  std::vector<Reading> artifacts;
  for (const Reading& reading : readings) {
    if (auto unsure = why_unsure(reading, least_margin)) {
      merged.unsure.push_back(std::move(*unsure));
    } else if (is_slip(reading.role)) {
      merged.slips.push_back(reading);
    } else {
      (reading.role == LabelRole::artifact ? artifacts : carriers).push_back(reading);
    }
  }
  merge_carriers(carriers, merged);
  count_artifacts(join_at_one_place(std::move(artifacts), merged.unsure), merged);
  return merged;
}

}  // namespace sherdmark
