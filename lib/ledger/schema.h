// The tables of a ledger. The schema is described in docs/formats/ledger.md.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

#include "ledger/sqlite.h"

namespace sherdmark {

inline constexpr std::int64_t k_application_id = 0x53485244;  // "SHRD"
inline constexpr std::int64_t k_schema_version = 3;

// Tables that are the sum of the events, parents before children.
[[nodiscard]] std::span<const std::string_view> record_tables();

// From the version before, in the caller's transaction if there is one.
void bring_to_version_2(Database& database);
void bring_to_version_3(Database& database);
// Makes all tables in an empty database, in the caller's transaction if there is one, and sets both ids.
void make_schema(Database& database);

}  // namespace sherdmark
