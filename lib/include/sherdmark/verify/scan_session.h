// A handheld-scanner session: line after line of scans and typed numbers → sets, feedback, verdicts. The engine touches
// no file, clock or ledger but through `records`; the same lines give the same session, so that it can be replayed from
// a file and is taken up again from the scans the ledger holds. Called by the tool, which records every accepted scan
// before it shows the feedback.
//
// What a line can be: the text of one of our codes; an action card; a bag id, serial or number as typed; "place PATH";
// "+" for another piece with the number just heard. Bag, tag and artifacts come in any order. Artifact labels have no
// serial, so a number heard twice counts once until a person says "+": a scanner that slips never completes a set.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/code/cards.h"
#include "sherdmark/code/keyboard.h"
#include "sherdmark/verify/judge.h"
#include "sherdmark/verify/scan_set.h"

namespace sherdmark {

enum class ScanSignal { fine, finding, not_read };  // one bell, three bells, two bells

struct ScanFeedback {
  ScanSignal signal = ScanSignal::fine;
  std::string line;                       // one large line
  std::vector<std::string> more;          // whole sentences, small
  bool accepted = false;                  // changes the session: record `heard`, then show
  std::string heard;                      // as it was understood; hearing it again does the same
  std::string bag;                        // the bag it concerns, or empty
  std::optional<SetVerdict> verdict;      // a set was closed
  std::optional<KeyboardSetup> keyboard;  // the set-up card was heard: remember it
  bool ended = false;
};

class ScanSession {
 public:
  // Path of a place by the id on a shelf label, or of a box by the id on its label.
  using PlaceOf = std::function<std::optional<std::string>(const std::string& id)>;

  // `records` and `standard` must outlive the session. `name` is the beginning of the names of its sets.
  ScanSession(const CollectionView& records, const HouseStandard& standard, PlaceOf place_of, std::string name,
              KeyboardSetup keyboard = {});

  [[nodiscard]] ScanFeedback hear(std::string_view line);
  void use_keyboard(KeyboardSetup keyboard) { keyboard_ = std::move(keyboard); }
  [[nodiscard]] const ReadingSet& open_set() const { return set_.so_far(); }
  [[nodiscard]] int sets_closed() const { return sets_; }
  [[nodiscard]] const std::string& place() const { return place_; }

 private:
  struct Step {  // what an undo takes back
    bool was_reading = true;
    std::string place_before;
    std::optional<Reading> box_before;
  };

  ScanFeedback hear_action(ScanAction action, ScanFeedback feedback);
  ScanFeedback hear_link(const LinkCode& link, ScanFeedback feedback);
  ScanFeedback hear_typed(const std::string& text, ScanFeedback feedback);
  ScanFeedback add_artifact(const std::string& number, ReadingSource source, ScanFeedback feedback);
  ScanFeedback add_reading(Reading reading, ScanFeedback feedback);
  ScanFeedback another(ScanFeedback feedback);
  ScanFeedback first_finish(ScanFeedback feedback);
  ScanFeedback set_place(const std::string& path, std::optional<Reading> box, ScanFeedback feedback);
  ScanFeedback undo(ScanFeedback feedback);
  ScanFeedback close_set(ScanFeedback feedback);
  void judge_so_far(ScanFeedback& feedback, const std::string& what);
  void start_set();

  const CollectionView& records_;
  const HouseStandard& standard_;
  PlaceOf place_of_;
  std::string name_;
  KeyboardSetup keyboard_;
  ScanSet set_;
  std::vector<Step> steps_;
  std::string place_;
  bool awaits_place_ = false;
  int sets_ = 0;
};

}  // namespace sherdmark
