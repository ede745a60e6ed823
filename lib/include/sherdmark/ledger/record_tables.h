// Every table of records, row by row, for archives that must be readable without this program. Holds all columns, the
// restricted ones too: whoever lets them leave records it (Ledger::record_export).
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

[[nodiscard]] std::vector<std::string> record_table_names();
[[nodiscard]] std::vector<std::string> record_table_columns(const Ledger& ledger, const std::string& table);
// Cells as text: integers and decimals as SQLite writes them, nothing for NULL. In the order of the first column.
void for_each_record(const Ledger& ledger, const std::string& table,
                     const std::function<void(const std::vector<std::string>&)>& visit);

}  // namespace sherdmark
