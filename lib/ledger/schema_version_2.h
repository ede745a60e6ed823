// What schema version 2 adds to version 1, in SQL: the working day. Runs inside a transaction, on a new ledger and as
// the migration of an older one. Rebuilding from events fills these tables like all others.
#pragma once

#include <string_view>

namespace sherdmark {

inline constexpr std::string_view k_version_2_tables = R"sql(
)sql";

}  // namespace sherdmark
