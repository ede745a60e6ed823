// The one look of every report on paper: bench list, inventory, audit, box list, loan. A report is a value, a head and
// blocks one under the other; write_report_pdf breaks it into pages. On every page stand title, scope, date, person,
// station, the ledger's head and "page n of m". Callable from report and tools; touches no file, clock or ledger.
#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "sherdmark/base/files.h"
#include "sherdmark/ledger/ledger.h"
#include "sherdmark/sheet/canvas.h"

namespace sherdmark {

// Who made it, when, from which state of which ledger; empty texts are left out. What cannot be seen is written out.
struct ReportHead {
  std::string title;
  std::string scope;    // what it is about: "everything in Room 2", "box 14, revision 3"
  std::string date;     // when it was made
  std::string person;   // who made it
  std::string station;  // code of the computer
  std::string ledger;   // "M3K7, 412 events, head 1f03…": one station's whole hash, or one for all of several
  std::string repository;
};

struct ReportHeading {
  std::string text;
};
struct ReportText {
  std::string text;
  bool bold = false;
  double size_pt = 9;
};
// A sentence that must not be missed: a caution, the one statement of an audit. Boxed, with a bar at its left.
struct ReportNotice {
  std::string title;
  std::string text;
};
// Names and values in two columns of pairs.
struct ReportFact {
  std::string name;
  std::string value;
};
struct ReportFacts {
  std::vector<ReportFact> facts;
};

enum class ReportCell { left, right, tick };  // tick: an empty square to tick by hand when the text is empty
struct ReportColumn {
  std::string head;
  double share = 1;  // of the table's width, relative to the other columns'
  ReportCell cell = ReportCell::left;
  double size_pt = 8;
  bool bold = false;
};
// A row is never broken over two pages; on every further page the heads stand again, under the heading that the table
// stands under, "… (continued)". A row of one cell is a heading within the table and stays with the row after it.
struct ReportTable {
  std::vector<ReportColumn> columns;
  std::vector<std::vector<std::string>> rows;  // as many cells as columns, or one
  std::string when_empty = "None.";
};

// Level bars, each a whole cut into parts: progress by shelf. Parts are told apart by their shade and by their figures.
struct ReportBar {
  std::string label;
  std::vector<double> parts;  // as many as `parts` of the plot
  std::string note;           // at the bar's end: "34 of 40"
};
struct ReportBars {
  std::string title;
  std::vector<std::string> parts;  // what the shades mean; at most 4, darkest first
  std::vector<ReportBar> bars;
};

// Shares with their bounds on one scale: a dot for what was seen, a line to its bound, a dashed line for the rate that
// can be tolerated.
struct ReportBound {
  std::string label;
  double seen = 0;   // share 0 … 1
  double upper = 0;  // share 0 … 1
  std::string note;
};
struct ReportBounds {
  std::string title;
  std::vector<ReportBound> bounds;
  double tolerable = 0;  // share; 0: none is drawn
  std::string tolerable_note;
};

// Lines to sign on: "Taken by", "Seen by".
struct ReportSignatures {
  std::vector<std::string> who;
};
struct ReportPageBreak {};
// Whatever a report draws itself, whole on one page: `draw` gets its box and the report's font.
struct ReportPicture {
  double height_mm = 0;
  std::function<void(Canvas& canvas, const RectMm& box, const std::string& font)> draw;
};

using ReportBlock = std::variant<ReportHeading, ReportText, ReportNotice, ReportFacts, ReportTable, ReportBars,
                                 ReportBounds, ReportSignatures, ReportPageBreak, ReportPicture>;
struct Report {
  ReportHead head;
  std::vector<ReportBlock> blocks;
};

// The paper of the standard's bag labels, in its font; a character that font lacks comes from another.
struct ReportPaper {
  double width_mm = 210;
  double height_mm = 297;
  std::string font;
};
[[nodiscard]] ReportPaper report_paper(const HouseStandard& standard);

// The head with what the ledger knows: repository, station's head or heads. `time` as format_time writes it; `person`
// and `station` may be empty when nothing was written.
[[nodiscard]] ReportHead report_head(const Ledger& ledger, std::string title, std::string scope, std::string_view time,
                                     std::string person, std::string station);
// "by R. Quill", "station 7KM", "ledger M3K7, event 412 1f03a6…": the same for the head of a sheet of labels, with 16
// digits of the hash (of one station: as verify-ledger --against takes it).
[[nodiscard]] std::vector<std::string> sheet_made(const Ledger& ledger, const std::string& person,
                                                  const std::string& station);
// "7KM event 412, 1f03ab…" of every station: one line that changes with every event, hashes whole.
[[nodiscard]] std::string heads_text(const std::vector<StationHead>& heads);
// SHA-256 over heads_text; for the head of a page, where several stations' hashes have no room.
[[nodiscard]] std::string heads_hash(const std::vector<StationHead>& heads);

// Streams the PDF; a row higher than a page is shortened. Throws usage_error when there is nothing to show, data_error
// when a text is higher than a page, internal_error when a table's row has the wrong number of cells.
void write_report_pdf(const Report& report, const ReportPaper& paper, const ByteSink& sink);

}  // namespace sherdmark
