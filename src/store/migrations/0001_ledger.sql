-- SPDX-License-Identifier: Apache-2.0
-- The ledger. event is only ever added to; every other table is derived from it and can be derived
-- again (check-db does). Times are UTC milliseconds, masses milligrams, money minor units.

CREATE TABLE person (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE event (
  number INTEGER PRIMARY KEY,
  kind TEXT NOT NULL,
  happened_ms INTEGER NOT NULL,
  written_ms INTEGER NOT NULL,
  person INTEGER NOT NULL REFERENCES person,
  key TEXT NOT NULL,
  note TEXT NOT NULL,
  data TEXT NOT NULL,
  previous BLOB NOT NULL CHECK (length(previous) = 32),
  hash BLOB NOT NULL CHECK (length(hash) = 32)
) STRICT;
CREATE UNIQUE INDEX event_key ON event (key);

CREATE TRIGGER event_stays BEFORE UPDATE ON event
BEGIN SELECT raise(ABORT, 'events are never changed'); END;
CREATE TRIGGER event_remains BEFORE DELETE ON event
BEGIN SELECT raise(ABORT, 'events are never removed'); END;

CREATE TABLE cut (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE location (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE
) STRICT;

-- Two references are checked at the commit: checked at once, SQLite keeps a journal of each update.
CREATE TABLE piece (
  id INTEGER PRIMARY KEY,
  code TEXT NOT NULL UNIQUE,
  cut INTEGER NOT NULL REFERENCES cut DEFERRABLE INITIALLY DEFERRED,
  state TEXT NOT NULL,
  mass_mg INTEGER NOT NULL CHECK (mass_mg >= 0),
  basis TEXT NOT NULL,
  mass_at_ms INTEGER NOT NULL,
  location INTEGER NOT NULL REFERENCES location DEFERRABLE INITIALLY DEFERRED,
  moved_at_ms INTEGER NOT NULL,
  cost_minor INTEGER,
  currency TEXT,
  supplier TEXT NOT NULL,
  lot TEXT NOT NULL,
  slaughtered TEXT,
  received_ms INTEGER NOT NULL,
  made_ms INTEGER NOT NULL,
  ageing_since_ms INTEGER,
  aged_ms INTEGER NOT NULL,
  changed_ms INTEGER NOT NULL,
  version INTEGER NOT NULL,
  made_by INTEGER NOT NULL REFERENCES event,
  note TEXT NOT NULL,
  CHECK ((cost_minor IS NULL) = (currency IS NULL))
) STRICT;
-- Stock is read from this index alone.
CREATE INDEX piece_stock ON piece (location, cut, received_ms, mass_mg, cost_minor, currency)
  WHERE state IN ('in_stock', 'ageing');
CREATE INDEX piece_changed ON piece (version);

CREATE TABLE lineage (
  parent INTEGER NOT NULL REFERENCES piece,
  child INTEGER NOT NULL REFERENCES piece,
  PRIMARY KEY (parent, child)
) STRICT, WITHOUT ROWID;
CREATE INDEX lineage_up ON lineage (child, parent);

CREATE TABLE piece_event (
  piece INTEGER NOT NULL REFERENCES piece,
  event INTEGER NOT NULL REFERENCES event,
  PRIMARY KEY (piece, event)
) STRICT, WITHOUT ROWID;

-- corrected and voided events, by the event they speak of.
CREATE TABLE amendment (
  target INTEGER NOT NULL REFERENCES event,
  event INTEGER NOT NULL REFERENCES event,
  PRIMARY KEY (target, event)
) STRICT, WITHOUT ROWID;

CREATE TABLE face (
  event INTEGER PRIMARY KEY REFERENCES event,
  piece INTEGER NOT NULL REFERENCES piece,
  marbling TEXT,  -- measured numbers of the first face, as in its report
  area TEXT,
  report TEXT NOT NULL
) STRICT;
CREATE INDEX face_piece ON face (piece, event);

CREATE TABLE par (
  cut INTEGER NOT NULL REFERENCES cut,
  location INTEGER NOT NULL REFERENCES location,
  mass_mg INTEGER NOT NULL CHECK (mass_mg > 0),
  person INTEGER NOT NULL REFERENCES person,
  set_ms INTEGER NOT NULL,
  PRIMARY KEY (cut, location)
) STRICT, WITHOUT ROWID;

-- What the ledger held of each piece of a count, just before it; what was found is in the event.
CREATE TABLE count_line (
  event INTEGER NOT NULL REFERENCES event,
  piece INTEGER NOT NULL REFERENCES piece,
  ledger_mg INTEGER NOT NULL,
  ledger_state TEXT NOT NULL,
  ledger_location INTEGER NOT NULL REFERENCES location,
  cost_minor INTEGER,
  currency TEXT,
  PRIMARY KEY (event, piece)
) STRICT, WITHOUT ROWID;

-- Words of an event: its note, and of pieces it made their codes, cuts, supplier, lot. The text is
-- not kept twice; a hit leads to the event.
CREATE VIRTUAL TABLE word USING fts5 (
  text, content = '', columnsize = 0, tokenize = "unicode61 remove_diacritics 2"
);
