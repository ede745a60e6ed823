// The labels an act makes stale, as its payload names them.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "ledger/json_text.h"
#include "ledger/sqlite.h"

namespace sherdmark {

using LabelName = std::pair<std::string, std::string>;  // role, name

// Current, planned labels and tags of these bags that already have a text.
[[nodiscard]] std::vector<LabelName> carrier_labels_of(Database& database, const std::vector<std::string>& bags);
// The labels of any role whose subject is one of these and of which live prints exist.
[[nodiscard]] std::vector<LabelName> printed_labels_of(Database& database, const std::vector<std::string>& subjects);

void write_label_names(JsonWriter& out, const std::vector<LabelName>& labels);

}  // namespace sherdmark
