// An inventory with a handheld scanner in hand: line after line of scans and typed words, each kept in the ledger as
// seen before its feedback is given. Called by the tool; the ledger is written to, nothing else is touched.
//
// What a line can be: the code of a bag label or tag; of a shelf or box (where the following bags are); an action card;
// and what read_inventory_lines knows: a bag id, a number, "place PATH", "box NAME", "count N", "unlabelled WORDS" (or
// "found WORDS"). No NEXT is needed: one label is enough to have seen a bag. Nothing is taken in before somebody has
// said where the bags are ("place -": nowhere in particular), so that a session begun anew never counts a bag at the
// shelf before.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/code/keyboard.h"
#include "sherdmark/ledger/inventory_sight.h"
#include "sherdmark/verify/scan_session.h"

namespace sherdmark {

class InventorySession {
 public:
  // `ledger` must outlive the session; `place` or `box`, when given, is where the first bags are (as the ledger has
  // them). usage_error when the inventory is closed.
  InventorySession(Ledger& ledger, Actor actor, const InventoryRecord& inventory, KeyboardSetup keyboard,
                   const std::string& place = {}, const std::string& box = {});

  // Whatever it says was accepted is in the ledger when it returns.
  [[nodiscard]] ScanFeedback hear(std::string_view line);
  [[nodiscard]] InventoryProgress progress() const { return all_; }
  [[nodiscard]] bool found_anything() const { return found_anything_; }  // any finding told and not taken back

 private:
  struct Step {  // what an undo takes back: a reading, or a change of place
    bool was_reading = true;
    InventoryReading reading;
    bool first_sight = false;  // its bag was wanted and had not been seen
    bool finding = false;
    std::string place, box;  // before
    bool place_said = false;
  };

  ScanFeedback hear_action(ScanAction action, ScanFeedback feedback);
  ScanFeedback hear_line(const std::string& text, ScanFeedback feedback);
  ScanFeedback go_to(const std::string& place, const std::string& box, ScanFeedback feedback);
  ScanFeedback count_pieces(const std::string& text, ScanFeedback feedback);
  ScanFeedback take(InventoryReading reading, ScanFeedback feedback);
  ScanFeedback tell_bag(const InventoryReading& reading, const InventorySight& before, ScanFeedback feedback);
  ScanFeedback undo(ScanFeedback feedback);
  [[nodiscard]] std::string progress_words() const;

  Ledger& ledger_;
  Actor actor_;
  InventoryRecord inventory_;
  KeyboardSetup keyboard_;
  std::string place_, box_;
  bool place_said_ = false;
  bool awaits_place_ = false;
  bool found_anything_ = false;
  std::vector<Step> steps_;
  InventoryProgress all_, here_;  // here: bags that belong at `place_`; nothing when no place is said
};

}  // namespace sherdmark
