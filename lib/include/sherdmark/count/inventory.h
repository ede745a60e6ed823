// Reconciliation: what should be where against what was seen, both streamed by ascending bag id. Pure; memory does not
// grow with the number of bags. Callable from report and tools.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/ledger/inventory.h"

namespace sherdmark {

// What an inventory can find. Prints are counted, not distinct numbers. Words: to_text; never renamed, only added.
enum class Finding {
  not_found,       // expected, not exempt, and no reading names it
  seen_elsewhere,  // only where it does not belong
  extra,           // has a record, was not expected here
  no_record,       // read well, and the ledger knows nothing of it
  duplicate,       // two live prints of one label, or one print at two places
  unlabelled,      // a thing without a label, or a bag whose label was missing
  count_differs,   // pieces counted are not the pieces recorded
  stale_label,     // its print is void, spoiled, superseded or was never confirmed
  disagrees,       // a picture's labels do not belong together
  unread,          // a label was there and was not read surely
  lent_but_here,   // on loan when the inventory was opened, and seen
  fading           // the print quality of its label has fallen
};
inline constexpr std::size_t k_findings = 12;
[[nodiscard]] std::string_view to_text(Finding finding);    // "not found", "seen elsewhere" …
[[nodiscard]] std::string_view remedy_of(Finding finding);  // what to do about it, one sentence

enum class Whereabouts { at_home, elsewhere, place_not_said, not_found, exempt, not_expected };
[[nodiscard]] std::string_view to_text(Whereabouts where);

struct FoundFinding {
  Finding finding = Finding::not_found;
  std::string text;  // one sentence; empty when the finding says it all
};

// One bag, or (with `bag` empty) one reading that leads to none.
struct InventoryLine {
  std::string bag;
  Whereabouts where = Whereabouts::not_found;
  std::string expected_place, expected_box;
  std::string exempt;      // "on loan", "restricted"
  std::string seen_place;  // of the last reading that said one; a box as "box 14"
  std::string evidence;    // the best of its readings; empty when none
  std::string text;        // of the reading, when it leads to no bag
  std::int64_t readings = 0;
  std::int64_t prints = 0;  // different serials
  std::optional<std::int64_t> pieces_expected, pieces_counted;
  std::string last_seen, last_seen_by;
  std::vector<FoundFinding> findings;
  [[nodiscard]] bool expected() const { return where != Whereabouts::not_expected; }
};

struct PlaceProgress {
  std::int64_t at_home = 0;
  std::int64_t elsewhere = 0;
  std::int64_t place_not_said = 0;
  std::int64_t exempt = 0;
  std::int64_t not_found = 0;
  [[nodiscard]] std::int64_t seen() const { return at_home + elsewhere + place_not_said; }
};

struct InventoryTotals {
  std::array<std::int64_t, 6> where{};  // bags by Whereabouts
  std::array<std::int64_t, k_findings> findings{};
  std::map<std::string, std::int64_t> evidence;  // bags seen, by level
  std::map<std::string, PlaceProgress> places;   // by expected place
  std::int64_t on_loan = 0, restricted = 0;
  std::int64_t prints = 0;
  std::int64_t readings = 0;
  [[nodiscard]] std::int64_t count(Whereabouts one) const { return where[static_cast<std::size_t>(one)]; }
  [[nodiscard]] std::int64_t count(Finding one) const { return findings[static_cast<std::size_t>(one)]; }
  [[nodiscard]] std::int64_t wanted() const;  // expected and not exempt
  [[nodiscard]] std::int64_t done() const;    // of these, seen
  [[nodiscard]] bool nothing_found() const;   // no finding at all
};

using NextExpected = std::function<bool(ExpectedBag&)>;  // false at the end
using NextSeen = std::function<bool(SeenReading&)>;
// Tells every bag that was expected or seen, and every reading without one, once. Throws internal_error when a stream
// does not ascend.
InventoryTotals reconcile(const NextExpected& next_expected, const NextSeen& next_seen,
                          const std::function<void(const InventoryLine&)>& tell);

// Of two places as the ledger keeps them: "Room 2" and "Room 2/Shelf 3" are not at odds, only one is less exact. A
// place that is not said, "", agrees with itself alone.
[[nodiscard]] bool places_agree(std::string_view one, std::string_view other);

}  // namespace sherdmark
