// The words of an inventory's findings, and what to do about each.
#include "sherdmark/count/inventory.h"

namespace sherdmark {
namespace {

struct FindingWords {
  std::string_view name;
  std::string_view remedy;
};
constexpr std::array<FindingWords, k_findings> k_words = {
    FindingWords{"not found",
                 "Look on the shelves beside it and in boxes that were open that day, then ask who used "
                 "it last."},
    FindingWords{"seen elsewhere", "Put it back, or record the move."},
    FindingWords{"extra", "It belongs to another place or scope: put it back, or record the move."},
    FindingWords{"no record", "Set it aside; compare its number with the catalog and with former numbers."},
    FindingWords{"duplicate", "Find both labels; void the one that should not be there and reprint if in doubt."},
    FindingWords{"unlabelled",
                 "Keep it with its found number until somebody knows what it is; reprint missing labels."},
    FindingWords{"count differs", "Count once more with a second person, then record the new count with its reason."},
    FindingWords{"stale label", "Replace it with the label that is valid now; void labels must not stay in use."},
    FindingWords{"labels disagree", "Open the bag with a second person and sort out what belongs to it."},
    FindingWords{"not read", "Key what the label says, from the label itself."},
    FindingWords{"on loan, but here", "Ask the borrower, then record the return."},
    FindingWords{"fading label", "Reprint it while it can still be read."}};

constexpr std::array<std::string_view, 6> k_where = {"seen at home", "seen elsewhere", "seen, place not said",
                                                     "not found",    "exempt",         "not expected"};

}  // namespace

std::string_view to_text(Finding finding) { return k_words[static_cast<std::size_t>(finding)].name; }
std::string_view remedy_of(Finding finding) { return k_words[static_cast<std::size_t>(finding)].remedy; }
std::string_view to_text(Whereabouts where) { return k_where[static_cast<std::size_t>(where)]; }

}  // namespace sherdmark
