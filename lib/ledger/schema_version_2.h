// What schema version 2 adds to version 1, in SQL: the working day. Runs inside a transaction, on a new ledger and as
// the migration of an older one. Rebuilding from events fills these tables like all others.
#pragma once

#include <string_view>

namespace sherdmark {

inline constexpr std::string_view k_version_2_tables = R"sql(
CREATE TABLE printers(
  id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE CHECK(name <> ''), dpi INTEGER NOT NULL CHECK(dpi >= 1),
  scale_x REAL NOT NULL CHECK(scale_x > 0), scale_y REAL NOT NULL CHECK(scale_y > 0), skew_deg REAL NOT NULL,
  least_module_dots INTEGER NOT NULL CHECK(least_module_dots >= 1), paper TEXT NOT NULL,
  method TEXT NOT NULL CHECK(method IN ('measured', 'scanned')), time TEXT NOT NULL, person TEXT NOT NULL
) STRICT;
ALTER TABLE inventories ADD COLUMN place TEXT NOT NULL DEFAULT '';
ALTER TABLE inventories ADD COLUMN accession TEXT NOT NULL DEFAULT '';
ALTER TABLE inventories ADD COLUMN status TEXT NOT NULL DEFAULT '';
ALTER TABLE inventories ADD COLUMN opened_by TEXT NOT NULL DEFAULT '';
ALTER TABLE inventories ADD COLUMN closed_by TEXT NOT NULL DEFAULT '';
ALTER TABLE inventory_expected ADD COLUMN box TEXT NOT NULL DEFAULT '';
ALTER TABLE inventory_expected ADD COLUMN pieces INTEGER;
ALTER TABLE inventory_seen ADD COLUMN kind TEXT NOT NULL DEFAULT 'label';
ALTER TABLE inventory_seen ADD COLUMN role TEXT NOT NULL DEFAULT '';
ALTER TABLE inventory_seen ADD COLUMN ordinal INTEGER NOT NULL DEFAULT 0;
ALTER TABLE inventory_seen ADD COLUMN state TEXT NOT NULL DEFAULT '';
ALTER TABLE inventory_seen ADD COLUMN box TEXT NOT NULL DEFAULT '';
ALTER TABLE inventory_seen ADD COLUMN verdict TEXT NOT NULL DEFAULT '';
ALTER TABLE inventory_seen ADD COLUMN reasons TEXT NOT NULL DEFAULT '';
CREATE TABLE found_numbers(
  id INTEGER PRIMARY KEY, number TEXT NOT NULL UNIQUE CHECK(number <> ''),
  state TEXT NOT NULL CHECK(state IN ('reserved', 'open', 'resolved')),
  inventory INTEGER REFERENCES inventories(id), place TEXT NOT NULL DEFAULT '', what TEXT NOT NULL DEFAULT '',
  given TEXT NOT NULL DEFAULT '', resolution TEXT NOT NULL DEFAULT '', resolved TEXT NOT NULL DEFAULT ''
) STRICT;
ALTER TABLE audits ADD COLUMN person TEXT NOT NULL DEFAULT '';
ALTER TABLE audits ADD COLUMN concluded TEXT NOT NULL DEFAULT '';
ALTER TABLE audit_draws ADD COLUMN place TEXT NOT NULL DEFAULT '';
ALTER TABLE audit_draws ADD COLUMN stratum TEXT NOT NULL DEFAULT '';
ALTER TABLE audit_draws ADD COLUMN evidence TEXT NOT NULL DEFAULT '';
ALTER TABLE audit_draws ADD COLUMN time TEXT NOT NULL DEFAULT '';
ALTER TABLE audit_draws ADD COLUMN person TEXT NOT NULL DEFAULT '';
CREATE TABLE box_lists(
  id INTEGER PRIMARY KEY, box INTEGER NOT NULL REFERENCES boxes(id), revision INTEGER NOT NULL CHECK(revision >= 1),
  contents TEXT NOT NULL CHECK(length(contents) = 64), time TEXT NOT NULL, person TEXT NOT NULL,
  UNIQUE(box, revision)
) STRICT;
)sql";

}  // namespace sherdmark
