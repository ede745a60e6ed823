// What a catalog would change in a ledger, found before anything is changed.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "sherdmark/catalog/rows.h"
#include "sherdmark/standard/label_role.h"

namespace sherdmark {

// A label whose printed text no longer says what the catalog says.
struct StaleLabel {
  LabelRole role = LabelRole::bag;
  std::string subject;           // bag id, or item number for an artifact label
  std::string number;            // as printed
  int revision = 1;              // the one that becomes stale
  std::int64_t live_prints = 0;  // copies that exist and must be replaced (generated, printed or applied)
};

struct FieldChange {
  std::string field;   // canonical field name (catalog_fields()), or the extra column's header
  std::string before;  // empty when restricted
  std::string after;
  bool restricted = false;
};

struct RowChange {
  std::size_t index = 0;  // into the rows that were compared
  std::string number;
  std::vector<FieldChange> fields;
  std::vector<StaleLabel> stale;  // a label shared by several changed rows is listed with each
};

struct IntakeDiff {
  std::vector<std::size_t> added;  // indexes into rows
  std::vector<RowChange> changed;
  std::size_t unchanged = 0;
  std::vector<std::string> vanished;  // in the ledger, in an accession of this file, not in the file
  std::vector<StaleLabel> stale;      // all, each once: also those of bags that gain or lose an item
  std::string ledger_state;           // the heads it was made against; applying it later against others is refused
  [[nodiscard]] bool nothing_to_do() const { return added.empty() && changed.empty(); }
};

struct IntakeOptions {
  std::string source;                 // the file's name and SHA-256, for history
  bool vanished_are_missing = false;  // give vanished items the status "missing"; otherwise they are only reported
};

struct IntakeResult {
  std::size_t added = 0;
  std::size_t changed = 0;
  std::size_t vanished_marked = 0;
  std::size_t bags_made = 0;
  std::size_t prints_superseded = 0;
  std::vector<std::string> without_bag;  // items that no bag holds (bagging by column, and the column was empty)
};

}  // namespace sherdmark
