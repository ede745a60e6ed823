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
// Active bags that hold this item and nothing else, in the order they were made: their labels say how many of all its
// pieces and which of all its bags they are, which may change with what is done to another of them.
[[nodiscard]] std::vector<std::string> bags_of_item_alone(Database& database, const std::string& item);
// That bag, and those of the item alone: whose labels say something else when its pieces there are counted otherwise.
[[nodiscard]] std::vector<std::string> stale_when_counted(Database& database, const std::string& bag,
                                                          const std::string& item);
// The labels of any role whose subject is one of these and of which live prints exist.
[[nodiscard]] std::vector<LabelName> printed_labels_of(Database& database, const std::vector<std::string>& subjects);

void write_label_names(JsonWriter& out, const std::vector<LabelName>& labels);

}  // namespace sherdmark
