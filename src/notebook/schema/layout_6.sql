-- What was bought of a food when it was ticked off, the last day of the list, and the newest entry then: what was cooked or
-- eaten of it since is used up.
ALTER TABLE tick ADD COLUMN last TEXT NOT NULL DEFAULT '';
ALTER TABLE tick ADD COLUMN grams REAL NOT NULL DEFAULT 0 CHECK (grams >= 0);
ALTER TABLE tick ADD COLUMN after INTEGER NOT NULL DEFAULT 0;
-- A device of the home network that is let in up to a day, by the SHA-256 of its secret. Not part of the record: no export
-- has it.
CREATE TABLE pairing (
  device INTEGER PRIMARY KEY REFERENCES device (id) ON DELETE CASCADE,
  digest TEXT NOT NULL UNIQUE,
  until  TEXT NOT NULL
) STRICT;
