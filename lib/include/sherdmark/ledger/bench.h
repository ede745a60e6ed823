// The bench in the ledger: which labels of a sheet or a bag are still to be applied, in working order; what became of
// each copy; when a bag's adhesive is dry. Free functions over a Ledger, callable from report and tools. Events and
// tables: docs/formats/ledger.md.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "sherdmark/base/clock.h"
#include "sherdmark/ledger/ledger.h"
#include "sherdmark/standard/bench_advice.h"

namespace sherdmark {

// Every copy of a sheet is one of these. Copies that are superseded, void or spoiled must not be used: they are
// destroyed, or they were taken off again.
struct CopyCounts {
  std::int64_t unconfirmed = 0;  // nobody confirmed the page as printed
  std::int64_t waiting = 0;      // printed, not yet applied
  std::int64_t applied = 0;
  std::int64_t filed = 0;  // kept for later
  std::int64_t destroyed = 0;
  [[nodiscard]] std::int64_t all() const { return unconfirmed + waiting + applied + filed + destroyed; }
  [[nodiscard]] std::int64_t left_over() const { return unconfirmed + waiting; }
};

// One printed number on the bench list.
struct BenchLine {
  std::string run;
  std::vector<int> pages;
  std::string item;
  std::string number;  // as on the label
  std::string text;    // exact label text of the current revision
  int revision = 1;
  std::vector<std::string> bags;          // ids
  std::string object, material, surface;  // empty where the column is restricted
  BenchAdvice advice;
  std::string caution;
  CopyCounts copies;
};

// In working order: non-porous first, then what lies between, porous last (common practice, no source); within that by
// page of the sheet, then in the catalog's order. The same state of the ledger gives the same order.
struct BenchList {
  std::string run;  // of a sheet; empty for a bag
  std::string bag;  // id; empty for a sheet
  std::vector<BenchLine> lines;
  std::vector<std::string> cautions;  // of the house standard
  std::vector<std::string> never;     // items here that must not be labelled, with the reason
  bool withheld = false;              // the bag holds something with a care flag
  CopyCounts copies;                  // of all lines
};

// Of one run of artifact labels, all pages or those named. usage_error for another role or no such run or page.
[[nodiscard]] BenchList bench_list_of_run(const Ledger& ledger, const std::string& run, const std::vector<int>& pages);
// Of one bag: every artifact label planned for it, wherever it was printed. Copies of a number that lies in several
// bags are counted as far as this bag needs them.
[[nodiscard]] BenchList bench_list_of_bag(const Ledger& ledger, const std::string& bag);
[[nodiscard]] std::string working_order_in_words();  // why the list stands in this order, one sentence

// What the person means: a number, a piece's number, a serial, or the text of one of our codes.
struct BenchSubject {
  LabelRole role = LabelRole::artifact;
  std::string subject;  // item, or bag for carriers
  std::string number;   // printed number of an artifact label
  std::string serial;   // when a serial or a code with one was given
};
// usage_error when it names nothing that has labels; `text` may be a scan. Never guesses between two meanings.
[[nodiscard]] BenchSubject bench_subject(const Ledger& ledger, const std::string& text);

enum class CopyFate { applied, filed, destroyed };
// Says what became of `copies` copies; of a run when one is named, else of the oldest printed. A serial means itself.
// usage_error when there are not so many that wait. A filed copy may be applied or destroyed later: filed copies are
// taken last. Returns the serials.
std::vector<std::string> settle_copies(Ledger& ledger, const Actor& actor, const BenchSubject& subject, CopyFate fate,
                                       std::int64_t copies, const std::string& run, const std::string& reason);

struct SheetClosing {
  bool closed = false;
  bool was_closed = false;  // before; nothing was written
  std::vector<BenchLine> left_over;
};
// A sheet closes only when every copy is applied, filed or destroyed. page 0: every page of the run.
SheetClosing close_sheet(Ledger& ledger, const Actor& actor, const std::string& run, int page);

// Where a bag stands between glue and closing.
struct Drying {
  std::string bag;
  std::int64_t to_apply = 0;  // copies planned for the bag and not applied
  std::string since;          // the last label was applied; empty: none was
  std::string dry_from;       // since + drying time of the standard
  std::string bagged;         // time of the last bagging after `since`; empty: it is open
  bool early = false;         // that bagging was early
  [[nodiscard]] bool dry_at(const std::string& time) const { return since.empty() || dry_from <= time; }
};
[[nodiscard]] Drying drying_of(const Ledger& ledger, const std::string& bag);
// Every active bag into which a label was applied or is to be, in the order the bags were made.
[[nodiscard]] std::vector<Drying> drying_bags(const Ledger& ledger);

struct BagClosing {
  Drying before;
  bool early = false;    // a finding
  bool written = false;  // early without a reason is not written
};
// The bag is closed now. Before it is dry or before all its labels are applied, that is a finding and needs a reason.
BagClosing close_bag(Ledger& ledger, const Actor& actor, const std::string& bag, const std::string& reason,
                     const std::string& now);

[[nodiscard]] std::string_view to_text(CopyFate fate);

}  // namespace sherdmark
