// What schema version 3 changes of version 2, in SQL. Runs inside a transaction, on a new ledger and as the migration
// of an older one.
#pragma once

#include <string_view>

namespace sherdmark {

// Ids and serials are spelt out once, when a row is made, instead of at every look: worked out anew they cost as much
// as the row itself. {identity} is replaced by identity_sql().
inline constexpr std::string_view k_version_3_identities = R"sql(
ALTER TABLE bags DROP COLUMN code;
ALTER TABLE bags ADD COLUMN code TEXT NOT NULL DEFAULT '';
UPDATE bags SET code = 'B' || {identity};
ALTER TABLE prints DROP COLUMN serial;
ALTER TABLE prints ADD COLUMN serial TEXT NOT NULL DEFAULT '';
UPDATE prints SET serial = {identity};
)sql";

}  // namespace sherdmark
