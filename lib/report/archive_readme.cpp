#include "report/archive_readme.h"

#include <fmt/format.h>

#include "sherdmark/base/clock.h"
#include "sherdmark/ledger/proof.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_head = R"txt(THE RECORD OF AN ARCHAEOLOGICAL COLLECTION
===========================================

Collection : {repository}
Rules      : {standard}
Key        : {key}  (every code that was printed for this collection carries these four characters)
Made       : {made}, by {program}
History    : {events} by {persons}

You need no special program to read this folder. Every file is plain text in UTF-8{except}.
CSV files open in any spreadsheet; their first line names the columns, a comma parts the cells, and a cell with a
comma or a line break stands in quotation marks (RFC 4180). An apostrophe at the start of a cell that would otherwise
begin with = + - or @ was put there so that a spreadsheet does not take the cell for a formula; it is not part of the
value.

What this is about: the objects of the collection lie in bags, the bags in boxes, the boxes on shelves. The same number
stands on the object (or its label), on a loose tag in the bag, and on the bag. This record says which number is what.

FILES
-----
catalog.csv        one line an item: its number, what it is, where it was found, how many pieces. Start here.
bags.csv           one line for each item in each bag: which bag (its permanent id, printed on it), how many pieces,
                   how many of them carry a label{places}.
labels.csv         the exact text of every label that is in use, with its revision.
house-standard.toml  the rules the collection was labelled by: how numbers are built, what was marked and what never.
                   A text file with comments.
formats/           how the codes printed on bags and tags are read by hand (link-code.md), what the placements files say
                   (placements.md), how the ledger and its events are built (ledger.md), and this folder (archive.md).
)txt";

constexpr std::string_view k_full =
    R"txt(events.jsonl       everything that was ever done, oldest first, one event a line (JSON, RFC 8259): who, when, what.
records/           the same record as tables, one CSV file a table; "id" columns tie them together.
collection.ledger  the working file itself (SQLite 3, a documented public file format).

This package holds everything, also where sites lie and what must not be made public. Keep it as you keep those.
)txt";

constexpr std::string_view k_public = R"txt(
Columns that the collection restricts (where sites lie, what needs consultation) were left out on purpose, and with them
the history and the working file. The repository that made this package has them.
)txt";

constexpr std::string_view k_checks = R"txt(
IS IT WHOLE?
------------
SHA256SUMS names every file here with its SHA-256 fingerprint (FIPS 180-4). On most computers this checks them all:

    sha256sum -c SHA256SUMS
)txt";

constexpr std::string_view k_chain = R"txt(
WAS IT CHANGED?
---------------
Each event carries the fingerprint ("hash") of itself and of the one before it on the same computer ("station"), so that
nothing can be changed, removed or slipped in without every later fingerprint changing. The newest event of each station
vouches for all before it. When this package was made they were:

{heads}
If somebody wrote these digits down elsewhere, compare them. To recompute a fingerprint by hand, see formats/ledger.md,
"Events": seven fields, each preceded by its length, put through SHA-256. There is a worked example.

What this proves: that the events are the ones whose fingerprints were written down. What it cannot prove: that what
people entered was right, or that the object in the bag is the object.

HOW TO GO ON WORKING WITH IT
----------------------------
With the program that made it:  sherdmark restore FOLDER --ledger collection.ledger --by NAME
Without it: catalog.csv and bags.csv are complete; any database or spreadsheet takes them in.
)txt";

std::string heads_text(const Ledger& ledger) {
  std::string text;
  for (const StationHead& head : ledger.heads()) text += "    " + write_head(head) + "\n";
  return text;
}

}  // namespace

std::string archive_readme(const Ledger& ledger, const ArchiveRequest& request) {
  std::int64_t events = 0;
  for (const StationHead& head : ledger.heads()) events += head.sequence;
  const HouseStandard& standard = ledger.standard();
  std::string text = fmt::format(
      k_head, fmt::arg("repository", standard.repository.empty() ? standard.name : standard.repository),
      fmt::arg("standard", standard.name + ", " + standard.version), fmt::arg("key", ledger.collection_key()),
      fmt::arg("made", time_in_words(format_time(request.made))), fmt::arg("program", request.program),
      fmt::arg("events", fmt::format("{} {}", events, events == 1 ? "event" : "events")),
      fmt::arg("persons",
               fmt::format("{} {}", ledger.persons().size(), ledger.persons().size() == 1 ? "person" : "persons")),
      fmt::arg("except", request.with_restricted ? ", except collection.ledger" : ""),
      fmt::arg("places", request.with_restricted ? ",\n                   and where it belongs and is" : ""));
  if (!request.placements.empty()) text += "placements/        where each label lay on its printed sheet.\n";
  text += request.with_restricted ? k_full : k_public;
  text += k_checks;
  if (request.with_restricted) text += fmt::format(k_chain, fmt::arg("heads", heads_text(ledger)));
  return text;
}

}  // namespace sherdmark
