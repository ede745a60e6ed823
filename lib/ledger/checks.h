// A verdict as payloads and rows have it. Private to the layer.
#pragma once

#include "ledger/json_text.h"
#include "ledger/sqlite.h"
#include "sherdmark/ledger/labels.h"

namespace sherdmark {

// One object of the list "checks" of an event "checked", and the "outcome" of "reviewed".
void write_check(JsonWriter& out, const CheckRecord& check);
[[nodiscard]] CheckRecord read_check(Database& db, std::int64_t id);

}  // namespace sherdmark
