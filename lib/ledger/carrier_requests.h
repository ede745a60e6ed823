// The code of a print and how its id stands on it, for the files of this layer.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/ledger/ledger.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {

// Text of the code on a print of any role but artifact. A shelf's path that is too long for a code stays out of it.
[[nodiscard]] std::string carrier_code(const Ledger& ledger, const PrintRecord& print);

// What stands large on the label of a bag that goes by its own id, B-7KM-00001; empty where the number does.
[[nodiscard]] std::string shown_id(LabelRole role, const std::string& subject, const std::string& number);

// The cards of a collection, without its ledger.
[[nodiscard]] std::vector<CarrierLabelRequest> action_cards(const std::string& collection_key,
                                                            const std::string& repository);
[[nodiscard]] std::vector<CarrierLabelRequest> divider_cards(const std::string& collection_key,
                                                             const std::string& repository, int first, int count);

}  // namespace sherdmark
