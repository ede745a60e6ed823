// Readings of the pictures of one set → labels. Carriers (bag labels, tags …) are told apart by their print serial;
// artifact labels have none, so of one number only the copies that stand together in one picture are counted.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "sherdmark/verify/judge.h"
#include "sherdmark/verify/reasons.h"

namespace sherdmark {

// One print that was read surely.
struct MergedCarrier {
  Reading reading;
  int copies_in_one_picture = 1;  // places in the same picture where this serial was read
};

// All labels of one artifact number. Text and small code that may or may not be one label make the two differ; so do
// crops that a person keyed, for a label that is covered in its middle is cut out twice.
struct ArtifactCount {
  std::string number;
  std::int64_t at_least = 0;
  std::int64_t at_most = 0;
  bool keyed_in_doubt = false;  // keyed crops that may be one label
};

struct UnsureReading {
  Reading reading;
  ReasonCode why = ReasonCode::not_read_surely;
  std::string missing_field;  // serial_not_read: which part
};

struct MergedReadings {
  std::vector<MergedCarrier> carriers;   // in the order of their first reading
  std::vector<ArtifactCount> artifacts;  // likewise
  std::vector<UnsureReading> unsure;     // likewise
  std::vector<Reading> slips;            // dividers, removal slips, action cards: no part of a bag
};

// `least_margin`: artifact texts with a smaller margin are not read surely; 0 accepts what the reader accepted.
[[nodiscard]] MergedReadings merge_readings(const std::vector<Reading>& readings, double least_margin);

// Do two readings of one serial say different things? What a person keyed lacks what a code carries, and a sensitive
// bag's code carries a key where a person sees the number.
[[nodiscard]] bool contradict(const Reading& a, const Reading& b);

}  // namespace sherdmark
