// Plans, runs and prints: what the ledger is told about labels and what it tells back.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "sherdmark/ledger/records.h"

namespace sherdmark {

// How many copies of one printed number lie in one bag.
struct PlannedCopies {
  std::string bag;  // bag id; empty if the item has no bag
  std::int64_t copies = 0;
};

// The artifact labels of one printed number: the item's own number (shared), or one piece's (sub-numbered).
struct PlannedArtifactLabel {
  std::string item;    // canonical item number
  std::string number;  // as printed, without check character; equals item when shared
  std::string text;    // exact text printed, check character included
  std::vector<PlannedCopies> per_bag;
};

// A bag label, tag, box or shelf label.
struct PlannedCarrierLabel {
  LabelRole role = LabelRole::bag;
  std::string subject;  // bag id, box id or place id
  std::string number;   // shown large
  std::string text;     // exact text, one field a line
  int sheets = 1;       // continuation labels: how many make the whole
};

// Why an item gets what it gets.
struct PlannedDecision {
  std::string item;
  LabelDecision decision = LabelDecision::tag_only;
  std::string rule;
  std::string reason;
  std::string caution;
};

struct LabelPlan {
  std::vector<PlannedDecision> decisions;
  std::vector<PlannedArtifactLabel> artifacts;
  std::vector<PlannedCarrierLabel> carriers;
};

struct PlanResult {
  std::int64_t labels_new = 0;
  std::int64_t labels_revised = 0;  // the text differs from the one stored: revision raised
  std::int64_t labels_unchanged = 0;
  std::int64_t prints_superseded = 0;
};

// One label as the ledger has it, current revision.
struct LabelRecord {
  LabelRole role = LabelRole::bag;
  std::string subject;
  std::string number;
  std::string text;
  int revision = 1;
  std::int64_t copies = 1;  // planned
  std::int64_t live = 0;    // prints of this revision: generated, printed or applied
  [[nodiscard]] std::int64_t due() const { return copies > live ? copies - live : 0; }
};

// Which labels a run makes, in printing order; each gets that many prints.
struct PrintOrder {
  LabelRole role = LabelRole::bag;
  std::string subject;
  std::string number;
  std::int64_t copies = 1;
};

struct RunPrint {
  PrintRecord print;
  int copy = 1;  // of those with the same text in this run, from 1
  int page = 0;  // 1-based; 0 until record_pages was called
};

// "open": serials are given, no page is written yet. "abandoned": it stayed open until the next run of its role began;
// its prints are spoiled.
enum class RunState { open, generated, printed, abandoned };

struct RunRecord {
  std::string id;  // "R7KM00003"
  LabelRole role = LabelRole::bag;
  RunState state = RunState::open;
  int pages = 0;
  std::int64_t prints = 0;
  std::int64_t confirmed = 0;  // printed or later
  std::string started;         // time
  std::string person;
  std::string reprint_of;  // run id; empty for a first printing
};

struct PrintRun {
  std::string id;
  std::vector<RunPrint> prints;  // in the order of the orders, copies together
};

struct CheckReason {
  std::string code;
  std::string text;
};

// A picture that a verdict rests on.
struct CheckPicture {
  std::string image;   // as the readings name it
  std::string file;    // from the ledger's folder, so that both may move together
  std::string sha256;  // of the file as it was read
};

// A verdict as it is kept. Texts are those of verify/judge.h; readings stay as their JSON.
struct CheckRecord {
  std::string set;
  std::string bag;  // empty if none was read
  std::string number;
  std::string verdict;
  std::string evidence;
  std::int64_t expected = 0;
  std::int64_t seen = 0;
  bool place_checked = false;
  std::vector<CheckReason> reasons;
  std::vector<std::string> images;
  std::string readings_json = "[]";
  std::string time;  // filled when read back
  std::string person;
  // What was said beside the pictures, and which these were. Stands in the event alone; read back where a verdict is to
  // be judged again (ledger/reviews.h). Without `pictures`: an earlier version kept it, and what was said is not known.
  std::string place{};                    // where a person said the bag was; empty: not said
  std::optional<std::int64_t> counted{};  // pieces, by a person who opened the bag
  std::vector<CheckPicture> pictures{};
};

}  // namespace sherdmark
