// The record in plain open formats, so that it outlives this program (docs/commands.md, "export"). Restricted columns
// stay home unless `include_restricted`; whoever asks for them records it (Ledger::record_export).
#pragma once

#include <string>
#include <vector>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

[[nodiscard]] std::string bags_csv(const Ledger& ledger, bool include_restricted);  // one line a bag and item
// Current revisions of artifact, bag and tag labels.
[[nodiscard]] std::string labels_csv(const Ledger& ledger, bool include_restricted);
// JSON lines, one event each, exactly what is hashed. Holds every column.
[[nodiscard]] std::string events_jsonl(const Ledger& ledger);

// Names of the catalog columns that the house standard restricts and that some item fills in.
[[nodiscard]] std::vector<std::string> restricted_columns(const Ledger& ledger);

}  // namespace sherdmark
