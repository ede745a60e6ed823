// Labels keep the text that they were planned with. A house standard that was adopted since may restrict what it shows:
// until the next plan the text must neither be printed nor leave the house. Called by the ledger and by report.
#pragma once

#include <set>
#include <string>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

// The text without the fields that show a column which is restricted now.
[[nodiscard]] std::string text_that_may_be_shown(const HouseStandard& standard, const LabelRecord& label);

// Throws usage_error, with the label named, when one of these subjects' labels would show what is restricted now.
void require_labels_may_be_shown(const Ledger& ledger, LabelRole role, const std::set<std::string>& subjects);

}  // namespace sherdmark
