-- SPDX-License-Identifier: Apache-2.0
-- Photos as they were sent, and what judging them said. Files lie in the photo store under their
-- SHA-256; a judging is never changed, but for the piece it is kept with.

CREATE TABLE photo (
  id INTEGER PRIMARY KEY,
  hash BLOB NOT NULL UNIQUE CHECK (length(hash) = 32),
  name TEXT NOT NULL,
  bytes INTEGER NOT NULL CHECK (bytes > 0),
  media TEXT NOT NULL,
  sent_ms INTEGER NOT NULL,
  sent_by TEXT NOT NULL,
  taken_ms INTEGER,
  picture BLOB CHECK (length(picture) = 32)  -- JPEG for screens; made when first wanted
) STRICT;

CREATE TABLE judging (
  id INTEGER PRIMARY KEY,
  photo INTEGER NOT NULL REFERENCES photo,
  judged_ms INTEGER NOT NULL,
  judged_by TEXT NOT NULL,
  edited_from INTEGER REFERENCES judging,
  options TEXT NOT NULL,
  method TEXT NOT NULL,
  revision TEXT NOT NULL,
  line TEXT NOT NULL,  -- JSON: what lists show of it
  report TEXT NOT NULL,
  piece INTEGER REFERENCES piece
) STRICT;
CREATE INDEX judging_photo ON judging (photo, id);
CREATE INDEX judging_piece ON judging (piece, id) WHERE piece IS NOT NULL;

CREATE TABLE judging_layer (
  judging INTEGER NOT NULL REFERENCES judging,
  layer TEXT NOT NULL,
  hash BLOB NOT NULL CHECK (length(hash) = 32),
  PRIMARY KEY (judging, layer)
) STRICT, WITHOUT ROWID;
