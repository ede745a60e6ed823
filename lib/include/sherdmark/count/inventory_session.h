// An inventory with a handheld scanner in hand: line after line of scans and typed words, each kept in the ledger as
// seen before its feedback is given. Called by the tool; the ledger is written to, nothing else is touched.
//
// What a line can be: the code of a bag label or tag; of a shelf or box (where the following bags are); an action card;
// and what read_inventory_lines knows: a bag id, a number, "place PATH", "box NAME", "count N", "unlabelled WORDS" (or
// "found WORDS"). No NEXT is needed: one label is enough to have seen a bag. But labels of one bag that follow each
// other (bag label, tag, what stands on its artifacts; a serial may be typed for a code) build a set as in a session of
// `scan`, judged when the next bag begins, at NEXT, at a new place and at END. The next bag begins with the same kind
// of label as this one did, with NEXT or with its typed id: a tag after another bag's label lies in the wrong bag. A
// typed number this bag does not hold is asked back: after NEXT it means its own bag, "inside NUMBER" means it lies in
// this. Nothing is taken in before somebody has said where the bags are ("place -": nowhere in particular), so that a
// session begun anew never counts a bag at the shelf before.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/code/keyboard.h"
#include "sherdmark/ledger/inventory_sight.h"
#include "sherdmark/verify/scan_session.h"
#include "sherdmark/verify/scan_set.h"

namespace sherdmark {

class InventorySession {
 public:
  using KeepVerdict = std::function<void(const SetVerdict&)>;  // writes it into the ledger's checks

  // `ledger` must outlive the session; `place` or `box`, when given, is where the first bags are (as the ledger has
  // them). usage_error when the inventory is closed.
  InventorySession(Ledger& ledger, Actor actor, const InventoryRecord& inventory, KeyboardSetup keyboard,
                   KeepVerdict keep_verdict, const std::string& place = {}, const std::string& box = {});

  // Whatever it says was accepted is in the ledger when it returns.
  [[nodiscard]] ScanFeedback hear(std::string_view line);
  [[nodiscard]] InventoryProgress progress() const { return all_; }
  [[nodiscard]] bool found_anything() const { return found_anything_; }  // any finding told and not taken back

 private:
  enum class StepKind {
    reading,
    joined,  // a label the ledger had already: only the set grew
    place,
    judged
  };
  struct Step {  // what an undo takes back: a reading, a change of place, the end of a set
    StepKind kind = StepKind::reading;
    int set = 0;  // its reading stands in the set with this number; 0: in none
    InventoryReading reading;
    bool first_sight = false;  // its bag was wanted and had not been seen
    bool finding = false;
    bool counted_set = false;                  // its count is of the bag in hand
    std::optional<std::int64_t> count_before;  // then: what was counted before
    std::optional<ScanSet> set_before;         // judged: as it was
    std::string place, box;                    // before
    std::optional<Reading> box_label;          // before
    bool place_said = false;
  };

  ScanFeedback hear_action(ScanAction action, ScanFeedback feedback);
  ScanFeedback hear_typed(const std::string& text, ScanFeedback feedback);
  ScanFeedback hear_line(const std::string& text, ScanFeedback feedback);
  ScanFeedback hear_bag(InventoryReading reading, std::optional<Reading> label, ScanFeedback feedback);
  ScanFeedback hear_artifact(const std::string& number, ReadingSource source, bool another, ScanFeedback feedback);
  ScanFeedback hear_inside(const std::string& text, ScanFeedback feedback);
  ScanFeedback join(Reading label, bool first, ScanFeedback feedback);
  ScanFeedback next(ScanFeedback feedback);
  ScanFeedback end(ScanFeedback feedback);
  void finish_set(ScanFeedback& feedback);
  void begin_set();
  [[nodiscard]] bool looked_into() const;
  [[nodiscard]] const std::string& bag_in_hand() const;
  [[nodiscard]] bool holds(const std::string& number) const;
  [[nodiscard]] std::optional<Reading> label_of(const std::string& text, const LinkReading& code) const;
  ScanFeedback go_to(const std::string& place, const std::string& box, std::optional<Reading> label,
                     ScanFeedback feedback);  // `label`: of the box, if it was scanned
  ScanFeedback count_pieces(const std::string& text, ScanFeedback feedback);
  ScanFeedback take(InventoryReading reading, ScanFeedback feedback);
  ScanFeedback tell_bag(const InventoryReading& reading, const InventorySight& before, ScanFeedback feedback);
  ScanFeedback undo(ScanFeedback feedback);
  ScanFeedback undo_place(const Step& step, ScanFeedback feedback);
  ScanFeedback undo_judged(Step step, ScanFeedback feedback);
  [[nodiscard]] std::string progress_words() const;

  Ledger& ledger_;
  Actor actor_;
  InventoryRecord inventory_;
  KeyboardSetup keyboard_;
  std::string place_, box_;
  bool place_said_ = false;
  bool awaits_place_ = false;
  bool found_anything_ = false;
  KeepVerdict keep_verdict_;
  ScanSet set_;
  int set_number_ = 0;
  InventoryReading last_bag_;  // what "count N" is of; its bag is empty when nothing was scanned here
  std::vector<Step> steps_;
  InventoryProgress all_, here_;  // here: bags that belong at `place_`; nothing when no place is said
};

}  // namespace sherdmark
