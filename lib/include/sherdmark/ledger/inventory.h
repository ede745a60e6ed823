// An inventory in the ledger: what should be where is frozen when it is opened; readings are taken in over days, in any
// order; closing ends it. What they add up to is worked out by count/inventory.h over the streams below.
// Callable from count, report and tools. Events and tables: docs/formats/ledger.md.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

// What an inventory is about; an empty field does not narrow. Bags are chosen by where the ledger has them now.
struct InventoryScope {
  std::string place;                        // path: everything there and below
  std::string accession;                    // bags that hold any item of it
  std::string status;                       // bags that hold any item of it
  [[nodiscard]] std::string words() const;  // "everything", "Room 2, accession 2031.4"
};

struct InventoryRecord {
  std::string id;  // "V7KM00001"
  InventoryScope scope;
  std::string opened, opened_by;
  std::string closed, closed_by;  // empty while it goes on
  std::int64_t expected = 0;      // all bags frozen, exempt ones included
  std::int64_t on_loan = 0;       // of these, out on loan when it was opened
  std::int64_t restricted = 0;    // of these, with a care flag: listed, never called lost
  std::int64_t readings = 0;
  [[nodiscard]] bool open() const { return closed.empty(); }
};

// Throws usage_error, with that advice, when it is closed.
void require_open(const InventoryRecord& record, std::string_view advice = "open another one");

// What a reading is. Stored words, frozen.
enum class SeenKind {
  label,       // the code of a bag label or tag
  typed,       // a bag id or number keyed or read from the label's text
  unlabelled,  // a thing without a label; `text` says what, `number` is the one it was given
  unknown,     // read well, but no record: another collection's, or a number nobody gave
  unread       // a label was there and was not read surely
};

// One reading to be taken in.
struct InventoryReading {
  SeenKind kind = SeenKind::label;
  std::string text;                   // as scanned or typed
  std::string serial;                 // of the print; labels only
  std::string bag;                    // bag id; empty when none is known
  std::string place;                  // path of where it was seen; empty: not said
  std::string box;                    // name of the box it was seen in; empty: not said
  std::optional<std::int64_t> count;  // pieces counted
  std::string evidence;               // to_text(Evidence), or "number keyed"
  std::string verdict;                // of a picture; empty for scans
  std::string reasons;                // its reason codes, with spaces between
  std::string time;                   // when it was seen; empty: when it is taken in
};

// Freezes what should be where, as one event. usage_error when nothing lies in the scope, or an inventory with the same
// scope is open already.
std::string open_inventory(Ledger& ledger, const Actor& actor, const InventoryScope& scope);

struct TakenIn {
  std::int64_t readings = 0;
  std::vector<std::string> found_numbers;  // given to things without a label, in their order
};
// One event for the batch. Every `unlabelled` reading is given the next reserved found number. usage_error when the
// inventory is closed or there are too few found numbers left; then nothing is taken in.
TakenIn take_in(Ledger& ledger, const Actor& actor, const std::string& inventory,
                std::span<const InventoryReading> readings, const std::string& source);
// Ends it. usage_error when it is closed already.
void close_inventory(Ledger& ledger, const Actor& actor, const std::string& inventory);

[[nodiscard]] std::vector<InventoryRecord> inventories(const Ledger& ledger);
[[nodiscard]] std::optional<InventoryRecord> find_inventory(const Ledger& ledger, const std::string& id);
// The one named, or the only open one when `id` is empty; usage_error in words otherwise.
[[nodiscard]] InventoryRecord need_inventory(const Ledger& ledger, const std::string& id);

// --- numbers for what was found without a record -----------------------------------------------------------------
enum class FoundState { reserved, open, resolved };
struct FoundNumber {
  std::string number;
  FoundState state = FoundState::reserved;
  std::string inventory;  // that gave it
  std::string place;
  std::string what;        // as described by who found it
  std::string resolution;  // what it turned out to be
  std::string given, resolved;
};
// A block `prefix` + 001 …, behind the last of that prefix; returns the numbers.
std::vector<std::string> reserve_found_numbers(Ledger& ledger, const Actor& actor, const std::string& prefix,
                                               std::int64_t count);
// It turned out to be something: a bag id, a number, or words. usage_error unless the number is open.
void resolve_found_number(Ledger& ledger, const Actor& actor, const std::string& number, const std::string& resolution);
[[nodiscard]] std::vector<FoundNumber> found_numbers(const Ledger& ledger);

// The path of a place named by its path or its code; the name of a box named by its name or its code, with or
// without "Box" in front, as its list writes it.
[[nodiscard]] std::optional<std::string> place_named(const Ledger& ledger, const std::string& name);
[[nodiscard]] std::optional<std::string> box_named(const Ledger& ledger, const std::string& name);

// --- streams for the reconciliation, both by ascending bag id -----------------------------------------------------
struct ExpectedBag {
  std::string bag;
  std::string place;  // path; empty: the ledger does not know
  std::string box;
  std::string exempt;                  // "", "on loan", "restricted"
  std::optional<std::int64_t> pieces;  // absent: not all its contents are counted
};
struct SeenReading {
  SeenKind kind = SeenKind::label;
  std::string bag;
  std::string text;
  std::string serial;
  std::string role;   // "bag", "tag" … of the print; empty when there is no such print
  int ordinal = 0;    // of a continued label
  std::string state;  // of the print when it was seen, "" for typed, "no print" when the ledger knows no such print
  std::string place;
  std::string box;
  std::optional<std::int64_t> count;
  std::string evidence;
  std::string verdict;
  std::string reasons;
  std::string time;
  std::string person;
};

class InventoryStreams {
 public:
  // The ledger must outlive it and not be written to meanwhile.
  InventoryStreams(const Ledger& ledger, const std::string& inventory);
  ~InventoryStreams();
  InventoryStreams(const InventoryStreams&) = delete;
  InventoryStreams& operator=(const InventoryStreams&) = delete;
  InventoryStreams(InventoryStreams&&) = delete;
  InventoryStreams& operator=(InventoryStreams&&) = delete;
  [[nodiscard]] bool next_expected(ExpectedBag& bag);
  [[nodiscard]] bool next_seen(SeenReading& reading);

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

// What a person calls a bag: its lot or item number, "several" for several items; and whether it left since a time.
struct BagWords {
  std::string number;
  std::string since;  // "on loan since 2031-05-02", "combined into another bag": after the inventory was opened
  bool retired = false;
};
[[nodiscard]] BagWords bag_words(const Ledger& ledger, const std::string& bag, const std::string& opened);

// Labels whose print quality has fallen: the newest grade is below 1.5 (C, ISO/IEC 15416 and 15415 letter bands, from
// memory), or one whole grade or more below the first. Of the bags of an inventory.
struct FadingLabel {
  std::string bag;
  std::string serial;
  double first = 0, last = 0;
  std::string graded;  // time of the last
};
[[nodiscard]] std::vector<FadingLabel> fading_labels(const Ledger& ledger, const std::string& inventory);

// Pace: bags first seen, by day; and the hours somebody was at work (pauses over half an hour are none).
struct InventoryPace {
  struct Day {
    std::string date;
    std::int64_t bags = 0;
  };
  std::vector<Day> days;
  double hours = 0;
  std::int64_t bags = 0;
};
[[nodiscard]] InventoryPace inventory_pace(const Ledger& ledger, const std::string& inventory);

[[nodiscard]] std::string_view to_text(SeenKind kind);
[[nodiscard]] SeenKind parse_seen_kind(std::string_view text);
[[nodiscard]] std::string_view to_text(FoundState state);

}  // namespace sherdmark
