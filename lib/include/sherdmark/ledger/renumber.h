// Numbers that change: an item gets another number, and older numbers are entered from a concordance. The old number is
// part of the object's history: it stays as a former number and keeps leading to the item. Free functions over a
// Ledger, callable from tools. Events and tables: docs/formats/ledger.md.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

// One event: the item keeps its bags, counts and history; its old number and those of its pieces become former numbers;
// the labels that carry the old number are superseded, and the bags' labels revised. `to` is read by the standard's
// schemes. usage_error when it is no number of an item, is taken, or no reason is given. Returns the canonical number.
std::string renumber_item(Ledger& ledger, const Actor& actor, const std::string& from, const std::string& to,
                          const std::string& reason);

// One line of a concordance. A former number may lead to several items, and an item may have several.
struct ConcordanceRow {
  std::size_t row = 0;  // 1-based, for messages
  std::string former;
  std::string number;  // of an item or a piece, any form the schemes read
};
struct ConcordanceProblem {
  std::size_t row = 0;
  std::string what;
};
struct ConcordanceResult {
  std::int64_t entered = 0;
  std::int64_t known = 0;              // were there already
  std::vector<std::string> ambiguous;  // former numbers of several, or in use for another; such a reading is unreadable
};
[[nodiscard]] std::vector<ConcordanceProblem> check_concordance(const Ledger& ledger,
                                                                std::span<const ConcordanceRow> rows);
// All or nothing, one event; data_error naming the first problem if there is any. Twice is once. Unlike the former
// numbers of the catalog these are not taken away by a later intake.
ConcordanceResult enter_concordance(Ledger& ledger, const Actor& actor, std::span<const ConcordanceRow> rows,
                                    const std::string& source);
// Former numbers of an item that came by renumbering or concordance, in the order they were entered.
[[nodiscard]] std::vector<std::string> entered_former_numbers(const Ledger& ledger, const std::string& item);

// Numbers of items and pieces that were other items' before, whether a catalog, a concordance or a person said so: no
// label that shows one of them is believed. In the order of the items.
struct ReusedNumber {
  std::string number;  // the former one, as written
  std::string before;  // the item that carried it
  std::string now;     // the item that has it
};
[[nodiscard]] std::vector<ReusedNumber> reused_numbers(const Ledger& ledger);

}  // namespace sherdmark
