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
CREATE TABLE filed_prints(
  print INTEGER PRIMARY KEY REFERENCES prints(id), reason TEXT NOT NULL, time TEXT NOT NULL
) STRICT;
CREATE TABLE closed_sheets(
  run INTEGER NOT NULL REFERENCES runs(id), page INTEGER NOT NULL CHECK(page >= 1), time TEXT NOT NULL,
  person TEXT NOT NULL, PRIMARY KEY(run, page)
) STRICT, WITHOUT ROWID;
CREATE TABLE baggings(
  id INTEGER PRIMARY KEY, bag INTEGER NOT NULL REFERENCES bags(id), early INTEGER NOT NULL CHECK(early IN (0, 1)),
  reason TEXT NOT NULL, time TEXT NOT NULL, person TEXT NOT NULL, CHECK(early = 0 OR reason <> '')
) STRICT;
CREATE INDEX baggings_by_bag ON baggings(bag);
CREATE TABLE concordance(
  id INTEGER PRIMARY KEY, item INTEGER NOT NULL REFERENCES items(id), written TEXT NOT NULL CHECK(written <> ''),
  canonical TEXT NOT NULL, source TEXT NOT NULL, UNIQUE(item, written)
) STRICT;
CREATE INDEX concordance_as_written ON concordance(written);
CREATE INDEX concordance_canonical ON concordance(canonical) WHERE canonical <> '';
CREATE TABLE keyboards(
  station TEXT PRIMARY KEY REFERENCES stations(code), layout TEXT NOT NULL,
  swapped_case INTEGER NOT NULL CHECK(swapped_case IN (0, 1)), prefix TEXT NOT NULL, suffix TEXT NOT NULL,
  time TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TABLE scan_sessions(
  id INTEGER PRIMARY KEY, code TEXT NOT NULL UNIQUE CHECK(length(code) = 9),
  station TEXT NOT NULL REFERENCES stations(code), person TEXT NOT NULL, started TEXT NOT NULL,
  ended TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE TABLE scans(
  id INTEGER PRIMARY KEY, session INTEGER NOT NULL REFERENCES scan_sessions(id), heard TEXT NOT NULL,
  time TEXT NOT NULL
) STRICT;
CREATE INDEX scans_by_session ON scans(session);
CREATE TABLE reviews(
  id INTEGER PRIMARY KEY, check_id INTEGER NOT NULL UNIQUE REFERENCES checks(id),
  outcome INTEGER NOT NULL UNIQUE REFERENCES checks(id), answers TEXT NOT NULL, time TEXT NOT NULL, person TEXT NOT NULL
) STRICT;
CREATE TABLE override_times(
  override INTEGER PRIMARY KEY REFERENCES overrides(id), time TEXT NOT NULL
) STRICT;
)sql";

}  // namespace sherdmark
