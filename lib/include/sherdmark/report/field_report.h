// What reserve and bind did, as text and JSON (docs/commands.md).
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "sherdmark/catalog/field_log.h"
#include "sherdmark/ledger/field_blocks.h"

namespace sherdmark {

struct FieldNumbersReport {
  std::string act;                   // "reserved", "issued", "spoiled" …; empty: only a list
  std::vector<std::string> changed;  // numbers, in order
  std::vector<FieldBlock> blocks;    // those that were asked for
  std::string crew = {};             // whose blocks; empty: all
};
// Runs of numbers are written as "FS 101 to FS 125".
[[nodiscard]] std::string field_numbers_text(const FieldNumbersReport& report);
[[nodiscard]] std::string field_numbers_json(const FieldNumbersReport& report);

struct BindReport {
  std::string file;
  const FieldLogReading& reading;
  std::span<const FieldLogProblem> problems;  // against the ledger
  std::optional<BindResult> result;           // absent: nothing was bound
  bool dry_run = false;
  bool rebind = false;
  std::size_t rows = 0;             // of the file, also those that could not be read
  [[nodiscard]] bool good() const;  // nothing that stands against binding
};
[[nodiscard]] std::string bind_text(const BindReport& report);
[[nodiscard]] std::string bind_json(const BindReport& report);

// A good row as the ledger takes it.
[[nodiscard]] std::vector<FieldBinding> field_bindings(std::span<const FieldLogRow> rows);

}  // namespace sherdmark
