// Schema version 1, in SQL; {identity} is replaced by identity_sql(). Frozen: a change is a new version with a
// migration step (migrate.cpp).
#pragma once

#include <string_view>

namespace sherdmark {

// History, and the mark of the one writer. These are not records: rebuilding leaves them alone.
inline constexpr std::string_view k_event_tables = R"sql(
CREATE TABLE events(
  position INTEGER PRIMARY KEY,
  station  TEXT NOT NULL CHECK(length(station) = 3),
  sequence INTEGER NOT NULL CHECK(sequence >= 1),
  time     TEXT NOT NULL CHECK(length(time) = 20),
  person   TEXT NOT NULL CHECK(person <> ''),
  kind     TEXT NOT NULL CHECK(kind <> ''),
  previous TEXT NOT NULL CHECK(length(previous) = 64),
  hash     TEXT NOT NULL CHECK(length(hash) = 64),
  payload  TEXT NOT NULL,
  UNIQUE(station, sequence)
) STRICT;
CREATE TRIGGER events_are_never_changed BEFORE UPDATE ON events
BEGIN SELECT RAISE(ABORT, 'events are never changed'); END;
CREATE TRIGGER events_are_never_removed BEFORE DELETE ON events
BEGIN SELECT RAISE(ABORT, 'events are never removed'); END;
CREATE TRIGGER events_only_grow BEFORE INSERT ON events
WHEN NEW.position <= (SELECT coalesce(max(position), 0) FROM events) AND NEW.position > 0
  OR NEW.sequence <> 1 + (SELECT coalesce(max(sequence), 0) FROM events WHERE station = NEW.station)
  OR NEW.previous <> coalesce((SELECT hash FROM events WHERE station = NEW.station AND sequence = NEW.sequence - 1),
       '0000000000000000000000000000000000000000000000000000000000000000')
BEGIN SELECT RAISE(ABORT, 'an event must follow the last one of its station'); END;
CREATE TABLE writer(
  id      INTEGER PRIMARY KEY CHECK(id = 1),
  person  TEXT NOT NULL,
  machine TEXT NOT NULL,
  process INTEGER NOT NULL,
  since   TEXT NOT NULL
) STRICT;
)sql";

inline constexpr std::string_view k_collection_tables = R"sql(
CREATE TABLE collection(
  id      INTEGER PRIMARY KEY CHECK(id = 1),
  key     TEXT NOT NULL CHECK(length(key) = 4),
  made    TEXT NOT NULL
) STRICT;
CREATE TABLE persons(id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE CHECK(name <> ''), registered TEXT NOT NULL) STRICT;
CREATE TABLE stations(
  code    TEXT PRIMARY KEY CHECK(length(code) = 3),
  machine TEXT NOT NULL,
  registered TEXT NOT NULL,
  prints  INTEGER NOT NULL DEFAULT 0 CHECK(prints >= 0),
  bags    INTEGER NOT NULL DEFAULT 0 CHECK(bags >= 0),
  boxes   INTEGER NOT NULL DEFAULT 0 CHECK(boxes >= 0),
  places  INTEGER NOT NULL DEFAULT 0 CHECK(places >= 0),
  runs    INTEGER NOT NULL DEFAULT 0 CHECK(runs >= 0),
  loans   INTEGER NOT NULL DEFAULT 0 CHECK(loans >= 0),
  inventories INTEGER NOT NULL DEFAULT 0 CHECK(inventories >= 0),
  audits  INTEGER NOT NULL DEFAULT 0 CHECK(audits >= 0)
) STRICT, WITHOUT ROWID;
CREATE TABLE standards(
  version INTEGER PRIMARY KEY CHECK(version >= 1),
  name    TEXT NOT NULL, edition TEXT NOT NULL,
  sha256  TEXT NOT NULL CHECK(length(sha256) = 64),
  source  TEXT NOT NULL, since TEXT NOT NULL
) STRICT;
CREATE TABLE schemes(id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE,
  standard INTEGER NOT NULL REFERENCES standards(version)) STRICT;
CREATE TABLE sites(id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE CHECK(name <> '')) STRICT;
CREATE TABLE accessions(id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE CHECK(name <> ''),
  scheme INTEGER NOT NULL REFERENCES schemes(id)) STRICT;
CREATE TABLE accession_sites(
  accession INTEGER NOT NULL REFERENCES accessions(id),
  site      INTEGER NOT NULL REFERENCES sites(id),
  PRIMARY KEY(accession, site)
) STRICT, WITHOUT ROWID;
CREATE TABLE places(
  id     INTEGER PRIMARY KEY,
  code   TEXT NOT NULL UNIQUE CHECK(length(code) = 9),
  parent INTEGER REFERENCES places(id) CHECK(parent < id),
  name   TEXT NOT NULL CHECK(name <> ''),
  path   TEXT NOT NULL UNIQUE
) STRICT;
CREATE TABLE boxes(
  id   INTEGER PRIMARY KEY,
  code TEXT NOT NULL UNIQUE CHECK(length(code) = 9),
  name TEXT NOT NULL UNIQUE CHECK(name <> ''),
  home INTEGER REFERENCES places(id),
  now  INTEGER REFERENCES places(id)
) STRICT;
CREATE TABLE proveniences(
  id INTEGER PRIMARY KEY,
  unit TEXT NOT NULL, stratum TEXT NOT NULL, level TEXT NOT NULL, feature TEXT NOT NULL,
  depth_top_cm REAL, depth_bottom_cm REAL, date TEXT NOT NULL, excavators TEXT NOT NULL
) STRICT;
CREATE UNIQUE INDEX proveniences_once ON proveniences(unit, stratum, level, feature, date, excavators,
  coalesce(depth_top_cm, -1e300), coalesce(depth_bottom_cm, -1e300));
CREATE TABLE lots(
  id         INTEGER PRIMARY KEY,
  number     TEXT NOT NULL UNIQUE CHECK(number <> ''),
  scheme     INTEGER NOT NULL REFERENCES schemes(id),
  accession  INTEGER REFERENCES accessions(id),
  site       INTEGER REFERENCES sites(id),
  provenience INTEGER NOT NULL REFERENCES proveniences(id),
  came_with  INTEGER NOT NULL
) STRICT;
CREATE TABLE assemblies(id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE CHECK(name <> '')) STRICT;
CREATE TABLE field_blocks(
  id INTEGER PRIMARY KEY, station TEXT NOT NULL REFERENCES stations(code), crew TEXT NOT NULL,
  first TEXT NOT NULL, last TEXT NOT NULL, count INTEGER NOT NULL CHECK(count >= 1), reserved TEXT NOT NULL
) STRICT;
CREATE TABLE field_numbers(
  id     INTEGER PRIMARY KEY,
  number TEXT NOT NULL UNIQUE CHECK(number <> ''),
  block  INTEGER REFERENCES field_blocks(id),
  state  TEXT NOT NULL CHECK(state IN ('reserved', 'issued', 'bound', 'spoiled', 'lost', 'returned')),
  lot    INTEGER REFERENCES lots(id),
  CHECK((state = 'bound') = (lot IS NOT NULL))
) STRICT;
CREATE TABLE items(
  id        INTEGER PRIMARY KEY,
  number    TEXT NOT NULL UNIQUE CHECK(number <> ''),
  lot       INTEGER NOT NULL REFERENCES lots(id),
  accession INTEGER REFERENCES accessions(id),
  site      INTEGER REFERENCES sites(id),
  provenience INTEGER NOT NULL REFERENCES proveniences(id),
  kind      TEXT NOT NULL CHECK(kind IN ('artifact', 'bulk', 'sample', 'assembly', 'record')),
  object    TEXT NOT NULL, material TEXT NOT NULL, surface TEXT NOT NULL,
  count     INTEGER CHECK(count >= 1),
  weight_g  REAL CHECK(weight_g >= 0), volume_ml REAL CHECK(volume_ml >= 0), largest_mm REAL CHECK(largest_mm >= 0),
  status    TEXT NOT NULL,
  flags     TEXT NOT NULL,
  field_number TEXT NOT NULL,
  place     INTEGER REFERENCES places(id),
  box       INTEGER REFERENCES boxes(id),
  remarks   TEXT NOT NULL,
  extra     TEXT NOT NULL,
  came_with INTEGER NOT NULL
) STRICT;
CREATE INDEX items_by_lot ON items(lot);
CREATE INDEX items_by_field_number ON items(field_number) WHERE field_number <> '';
CREATE TABLE assembly_members(
  item     INTEGER PRIMARY KEY REFERENCES items(id),
  assembly INTEGER NOT NULL REFERENCES assemblies(id)
) STRICT;
CREATE INDEX assembly_members_by_assembly ON assembly_members(assembly);
CREATE TABLE former_numbers(
  id        INTEGER PRIMARY KEY,
  item      INTEGER NOT NULL REFERENCES items(id),
  written   TEXT NOT NULL CHECK(written <> ''),
  canonical TEXT NOT NULL,
  UNIQUE(item, written)
) STRICT;
CREATE INDEX former_numbers_as_written ON former_numbers(written);
CREATE INDEX former_numbers_canonical ON former_numbers(canonical) WHERE canonical <> '';
CREATE TABLE pieces(
  id     INTEGER PRIMARY KEY,
  item   INTEGER NOT NULL REFERENCES items(id),
  number TEXT NOT NULL UNIQUE CHECK(number <> '')
) STRICT;
CREATE INDEX pieces_by_item ON pieces(item);
CREATE TABLE bags(
  id        INTEGER PRIMARY KEY CHECK(id > 0),
  code      TEXT AS ('B' || {identity}) VIRTUAL,
  state     TEXT NOT NULL CHECK(state IN ('active', 'retired')),
  scope     TEXT NOT NULL,
  mark      TEXT NOT NULL,
  of_lot    INTEGER REFERENCES lots(id),
  home      INTEGER REFERENCES places(id),
  now       INTEGER REFERENCES places(id),
  until     TEXT NOT NULL DEFAULT '',
  box       INTEGER REFERENCES boxes(id),
  came_with INTEGER NOT NULL
) STRICT;
CREATE UNIQUE INDEX bags_by_mark ON bags(scope, mark) WHERE mark <> '' AND state = 'active';
CREATE UNIQUE INDEX bags_of_lots ON bags(of_lot) WHERE of_lot IS NOT NULL AND state = 'active';
CREATE TABLE bag_contents(
  bag        INTEGER NOT NULL REFERENCES bags(id),
  item       INTEGER NOT NULL REFERENCES items(id),
  quantity   INTEGER CHECK(quantity >= 0),
  labelled   INTEGER NOT NULL DEFAULT 0 CHECK(labelled >= 0 AND labelled <= quantity OR quantity IS NULL),
  unlabelled INTEGER AS (quantity - labelled),
  PRIMARY KEY(bag, item)
) STRICT, WITHOUT ROWID;
CREATE INDEX bag_contents_by_item ON bag_contents(item);
)sql";

inline constexpr std::string_view k_label_tables = R"sql(
CREATE TABLE decisions(
  item     INTEGER PRIMARY KEY REFERENCES items(id),
  decision TEXT NOT NULL CHECK(decision IN ('direct', 'tag only', 'never')),
  rule TEXT NOT NULL, reason TEXT NOT NULL, caution TEXT NOT NULL
) STRICT;
CREATE TABLE planned_pieces(
  number TEXT NOT NULL,
  item   INTEGER NOT NULL REFERENCES items(id),
  bag    INTEGER REFERENCES bags(id),
  copies INTEGER NOT NULL CHECK(copies >= 1)
) STRICT;
CREATE UNIQUE INDEX planned_pieces_once ON planned_pieces(number, coalesce(bag, 0));
CREATE INDEX planned_pieces_by_bag ON planned_pieces(bag);
CREATE INDEX planned_pieces_by_item ON planned_pieces(item);
CREATE TABLE labels(
  id       INTEGER PRIMARY KEY,
  role     TEXT NOT NULL,
  subject  TEXT NOT NULL,
  name     TEXT NOT NULL,
  number   TEXT NOT NULL,
  text     TEXT,
  revision INTEGER NOT NULL CHECK(revision BETWEEN 1 AND 1295),
  copies   INTEGER NOT NULL CHECK(copies >= 0),
  current  INTEGER NOT NULL CHECK(current IN (0, 1)),
  UNIQUE(role, name, revision)
) STRICT;
CREATE UNIQUE INDEX labels_current ON labels(role, name) WHERE current = 1;
CREATE INDEX labels_by_subject ON labels(subject);
CREATE TABLE runs(
  id      INTEGER PRIMARY KEY,
  code    TEXT NOT NULL UNIQUE CHECK(length(code) = 9),
  role    TEXT NOT NULL,
  state   TEXT NOT NULL CHECK(state IN ('open', 'generated', 'printed', 'abandoned')),
  pages   INTEGER NOT NULL CHECK(pages >= 0),
  reprint_of INTEGER REFERENCES runs(id),
  started TEXT NOT NULL, person TEXT NOT NULL
) STRICT;
CREATE TABLE prints(
  id      INTEGER PRIMARY KEY CHECK(id > 0),
  serial  TEXT AS ({identity}) VIRTUAL,
  label   INTEGER NOT NULL REFERENCES labels(id),
  run     INTEGER NOT NULL REFERENCES runs(id),
  ordinal INTEGER NOT NULL CHECK(ordinal BETWEEN 1 AND 35),
  copy    INTEGER NOT NULL CHECK(copy >= 1),
  page    INTEGER NOT NULL DEFAULT 0 CHECK(page >= 0),
  state   TEXT NOT NULL CHECK(state IN ('generated', 'printed', 'applied', 'superseded', 'void', 'spoiled')),
  applied TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX prints_by_label ON prints(label);
CREATE INDEX prints_by_run ON prints(run);
)sql";

inline constexpr std::string_view k_work_tables = R"sql(
CREATE TABLE checks(
  id INTEGER PRIMARY KEY, set_name TEXT NOT NULL, bag TEXT NOT NULL, number TEXT NOT NULL,
  verdict TEXT NOT NULL, evidence TEXT NOT NULL, expected INTEGER NOT NULL, seen INTEGER NOT NULL,
  place_checked INTEGER NOT NULL CHECK(place_checked IN (0, 1)),
  images TEXT NOT NULL, readings TEXT NOT NULL, time TEXT NOT NULL, person TEXT NOT NULL,
  came_with INTEGER NOT NULL
) STRICT;
CREATE INDEX checks_by_bag ON checks(bag);
CREATE TABLE check_reasons(
  check_id INTEGER NOT NULL REFERENCES checks(id), rank INTEGER NOT NULL, code TEXT NOT NULL, text TEXT NOT NULL,
  PRIMARY KEY(check_id, rank)
) STRICT, WITHOUT ROWID;
CREATE TABLE overrides(
  id INTEGER PRIMARY KEY, check_id INTEGER NOT NULL REFERENCES checks(id), verdict TEXT NOT NULL, reason TEXT NOT NULL,
  person TEXT NOT NULL, second_person TEXT NOT NULL,
  CHECK(verdict <> 'agree' OR second_person <> '' AND second_person <> person)
) STRICT;
CREATE TABLE grades(
  id INTEGER PRIMARY KEY, serial TEXT NOT NULL, grade REAL NOT NULL, method TEXT NOT NULL, time TEXT NOT NULL
) STRICT;
CREATE INDEX grades_by_serial ON grades(serial);
CREATE TABLE loans(
  id INTEGER PRIMARY KEY, code TEXT NOT NULL UNIQUE CHECK(length(code) = 9), borrower TEXT NOT NULL CHECK(borrower <> ''),
  lent TEXT NOT NULL, until TEXT NOT NULL
) STRICT;
CREATE TABLE loan_bags(
  loan INTEGER NOT NULL REFERENCES loans(id), bag INTEGER NOT NULL REFERENCES bags(id), returned TEXT NOT NULL,
  PRIMARY KEY(loan, bag)
) STRICT, WITHOUT ROWID;
CREATE UNIQUE INDEX bags_on_loan ON loan_bags(bag) WHERE returned = '';
CREATE TABLE inventories(
  id INTEGER PRIMARY KEY, code TEXT NOT NULL UNIQUE CHECK(length(code) = 9), scope TEXT NOT NULL,
  opened TEXT NOT NULL, closed TEXT NOT NULL
) STRICT;
CREATE TABLE inventory_expected(
  inventory INTEGER NOT NULL REFERENCES inventories(id), bag INTEGER NOT NULL REFERENCES bags(id),
  place INTEGER REFERENCES places(id), exempt TEXT NOT NULL, PRIMARY KEY(inventory, bag)
) STRICT, WITHOUT ROWID;
CREATE TABLE inventory_seen(
  id INTEGER PRIMARY KEY, inventory INTEGER NOT NULL REFERENCES inventories(id), text TEXT NOT NULL, serial TEXT NOT NULL,
  bag TEXT NOT NULL, place TEXT NOT NULL, count INTEGER, evidence TEXT NOT NULL, time TEXT NOT NULL, person TEXT NOT NULL
) STRICT;
CREATE INDEX inventory_seen_by_bag ON inventory_seen(inventory, bag);
CREATE TABLE audits(
  id INTEGER PRIMARY KEY, code TEXT NOT NULL UNIQUE CHECK(length(code) = 9), design TEXT NOT NULL, drawn TEXT NOT NULL,
  redraw_of INTEGER REFERENCES audits(id), conclusion TEXT NOT NULL
) STRICT;
CREATE TABLE audit_draws(
  audit INTEGER NOT NULL REFERENCES audits(id), rank INTEGER NOT NULL, subject TEXT NOT NULL, outcome TEXT NOT NULL,
  reason TEXT NOT NULL, PRIMARY KEY(audit, rank)
) STRICT, WITHOUT ROWID;
CREATE TABLE soak_tests(
  id INTEGER PRIMARY KEY, printer TEXT NOT NULL, toner TEXT NOT NULL, paper TEXT NOT NULL, adhesive TEXT NOT NULL,
  date TEXT NOT NULL, expires TEXT NOT NULL, person TEXT NOT NULL, passed INTEGER NOT NULL CHECK(passed IN (0, 1))
) STRICT;
CREATE TABLE event_subjects(
  subject TEXT NOT NULL, event INTEGER NOT NULL REFERENCES events(position), PRIMARY KEY(subject, event)
) STRICT, WITHOUT ROWID;
)sql";

}  // namespace sherdmark
