// An audit's design in the ledger; used by audits.cpp only.
#pragma once

#include <string>

#include "ledger/json_text.h"
#include "sherdmark/ledger/audits.h"

namespace sherdmark {

void write_design(JsonWriter& out, const AuditDesign& design);
[[nodiscard]] AuditDesign read_design(const std::string& json);

}  // namespace sherdmark
