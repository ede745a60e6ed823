// Reads bags and the small stored words back as values.
#pragma once

#include <optional>
#include <string_view>

#include "ledger/sqlite.h"
#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

[[nodiscard]] std::optional<BagRecord> read_bag(Database& database, const HouseStandard& standard,
                                                std::string_view code);

// A label of a bag that was emptied into another one is wanted no more.
[[nodiscard]] bool is_retired_bag(Database& database, LabelRole role, std::string_view subject);

// Stored words; unknown ones are a damaged ledger: data_error.
[[nodiscard]] LabelDecision parse_decision(std::string_view text);
[[nodiscard]] PrintState parse_print_state(std::string_view text);
[[nodiscard]] RunState parse_run_state(std::string_view text);
[[nodiscard]] FieldState stored_field_state(std::string_view text);

}  // namespace sherdmark
