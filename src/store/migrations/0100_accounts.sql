-- SPDX-License-Identifier: Apache-2.0
-- Users, sessions and settings of the server. A session is kept by the SHA-256 of its token, so that
-- the database gives nobody a session.

CREATE TABLE account (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE,
  full_name TEXT NOT NULL,
  role TEXT NOT NULL CHECK (role IN ('owner', 'buyer', 'cutter', 'cook', 'taster')),
  active INTEGER NOT NULL CHECK (active IN (0, 1)),
  password TEXT NOT NULL,  -- Argon2id, with its parameters and salt
  created_ms INTEGER NOT NULL,
  created_by TEXT
) STRICT;

CREATE TABLE session (
  token BLOB PRIMARY KEY CHECK (length(token) = 32),
  account INTEGER NOT NULL REFERENCES account,
  begun_ms INTEGER NOT NULL,
  seen_ms INTEGER NOT NULL,
  ends_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX session_account ON session (account);

CREATE TABLE house_setting (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  version INTEGER NOT NULL,
  json TEXT NOT NULL,
  changed_ms INTEGER NOT NULL,
  changed_by TEXT NOT NULL
) STRICT;

-- What a client wanted done once, and what came of it.
CREATE TABLE done_once (
  account INTEGER NOT NULL REFERENCES account,
  key TEXT NOT NULL,
  operation TEXT NOT NULL,
  request BLOB NOT NULL CHECK (length(request) = 32),
  result TEXT NOT NULL,
  at_ms INTEGER NOT NULL,
  PRIMARY KEY (account, key)
) STRICT, WITHOUT ROWID;
