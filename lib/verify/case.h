// One set of readings with everything the records say about it: what the predicates of the verdicts look at.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sherdmark/verify/judge.h"
#include "sherdmark/verify/reasons.h"
#include "verify/merge.h"

namespace sherdmark {

// A bag label, tag, box label, shelf label or field tag that was read surely.
struct SeenCarrier {
  Reading reading;
  int copies_in_one_picture = 1;
  bool ours = false;                 // this collection's key
  std::optional<PrintRecord> print;  // only when ours
  std::string mismatch;              // the field in which code and print record differ; empty: none
  std::optional<BagRecord> bag;      // bag labels and tags of ours: the bag they name

  [[nodiscard]] bool names_bag() const { return reading.role == LabelRole::bag || reading.role == LabelRole::tag; }
  [[nodiscard]] bool live() const {
    return print && (print->state == PrintState::printed || print->state == PrintState::applied);
  }
};

// How an artifact number stands to the set's bag.
enum class Belonging {
  expected,           // a label of this number belongs in the bag
  former,             // a former number of one item that is in the bag
  former_unlabelled,  // likewise, of an item none of whose pieces should carry a label
  reused,             // its item's or piece's now, another item's before
  elsewhere,          // its item or piece is recorded, but not here
  not_expected,       // its item is here, but no piece should carry this label
  not_an_item,        // a lot's or a field number
  ambiguous,          // a former number of several
  no_record,
  bag_unknown  // the set's bag is not known, so nothing can be said
};

struct SeenNumber {
  ArtifactCount count;
  NumberRecord record;
  std::optional<ArtifactLabelRecord> label;
  Belonging belonging = Belonging::bag_unknown;
  std::string stands_for;  // expected, former: the number of `expected` that it counts towards
  [[nodiscard]] std::int64_t live_copies() const { return label ? label->printed + label->applied : 0; }
};

// One number that should be on artifacts in the bag, and what was seen of it. An object may carry its old label beside
// its new one, or two objects may carry one each: labels with the number and with former numbers of its item add to
// what there is at most, never to what there is at least.
struct ExpectedNumber {
  ExpectedArtifact artifact;
  std::int64_t at_least = 0;
  std::int64_t at_most = 0;
  bool keyed_in_doubt = false;   // some of at_most are keyed crops that may show one label
  std::int64_t in_all_bags = 0;  // labels of this number that belong in this bag and in others
};

// Pieces of an item in the bag that should carry no label of ours; old labels may be on them all the same.
struct UnlabelledItem {
  std::string item;
  std::optional<std::int64_t> pieces;  // absent: weighed only
  std::int64_t at_least = 0;           // old labels, as for ExpectedNumber
  std::int64_t at_most = 0;
};

struct Case {
  const ReadingSet& set;
  const CollectionView& records;
  const HouseStandard& standard;
  std::vector<SeenCarrier> carriers;
  std::vector<SeenNumber> numbers;
  std::vector<UnsureReading> unsure;
  std::vector<Reading> slips;
  std::vector<std::string> bag_ids;  // that sure bag labels of ours name; of the tags if there is none
  std::optional<BagRecord> bag;      // when that is one bag and it is recorded
  std::vector<ExpectedNumber> expected;
  std::vector<UnlabelledItem> unlabelled;
  std::vector<std::string> places;       // paths given or read from shelf labels
  std::vector<std::string> boxes_typed;  // names of boxes that a person typed (verify/scan_set.h), no labels
};

[[nodiscard]] Case open_case(const ReadingSet& set, const CollectionView& records, const HouseStandard& standard);

// Ordinals of the sheets of one role that the bag's labels have, whether or not they are in force; {1} when none has.
[[nodiscard]] std::vector<int> sheets_needed(const Case& the_case, LabelRole role);
// Ordinals of the sheets of one role that were seen of the set's bag, whatever their state.
[[nodiscard]] std::vector<int> sheets_seen(const Case& the_case, LabelRole role);
[[nodiscard]] bool required(const Case& the_case, LabelRole role);
// Pieces the ledger has in the set's bag; absent when the bag is unknown or holds something that is only weighed.
[[nodiscard]] std::optional<std::int64_t> recorded_pieces(const Case& the_case);

// Do the items a number leads to lie in the bag? A number that is the bag's own id does.
enum class NumberInBag { yes, no, no_record, ambiguous, unbound };
[[nodiscard]] NumberInBag number_in_bag(const CollectionView& records, const BagRecord& bag, const std::string& number);

// "bag label 7K2M9QXA of bag B12", "artifact label in IMG_0042.jpg" …
[[nodiscard]] std::string describe_label(const Reading& reading);

}  // namespace sherdmark
