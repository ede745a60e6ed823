#pragma once

#include "report/json_value.h"
#include "sherdmark/report/ledger_report.h"

namespace sherdmark {

[[nodiscard]] JsonValue run_record_json(const RunRecord& run);

}  // namespace sherdmark
