-- A phone or computer that writes into the book.
CREATE TABLE device (
  id    INTEGER PRIMARY KEY,
  name  TEXT NOT NULL,
  since TEXT NOT NULL
) STRICT;
-- What a form or a device gives an entry, so that the same one sent twice is written once.
ALTER TABLE entry ADD COLUMN key TEXT;
ALTER TABLE entry ADD COLUMN device INTEGER REFERENCES device (id);
CREATE UNIQUE INDEX entry_key ON entry (key) WHERE key IS NOT NULL;
-- A correction of an entry, its taking back, or its putting back. The target keeps its number; its rows before and
-- after are kept as JSON, NULL where it was not there. "undoes" is the entry or the change that an undo takes back, or
-- the undo that a redo takes back.
CREATE TABLE change (
  entry  INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  target INTEGER NOT NULL,
  act    TEXT NOT NULL CHECK (act IN ('correction', 'undo', 'redo')),
  undoes INTEGER CHECK ((undoes IS NULL) = (act = 'correction')),
  former TEXT CHECK (json_valid(former)),
  later  TEXT CHECK (json_valid(later))
) STRICT;
CREATE INDEX change_target ON change (target);
CREATE INDEX change_undoes ON change (undoes);
-- What was taken back and not put back since, with the undo.
CREATE VIEW taken_back AS
  SELECT undoes AS entry, entry AS undo FROM change
  WHERE act = 'undo' AND NOT EXISTS (SELECT 1 FROM change AS redo WHERE redo.undoes = change.entry);
-- The day a reaction was seen is the day of its entry.
CREATE TABLE reaction (
  entry   INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  feeding INTEGER NOT NULL REFERENCES feeding (entry),
  words   TEXT NOT NULL
) STRICT;
CREATE INDEX reaction_feeding ON reaction (feeding);
CREATE TABLE answer (
  entry    INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  question INTEGER NOT NULL REFERENCES question (entry),
  words    TEXT NOT NULL
) STRICT;
CREATE INDEX answer_question ON answer (question);
-- A food that was tasted away from this record, in an amount that nobody knows.
CREATE TABLE known (
  entry     INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child     TEXT NOT NULL,
  food      TEXT NOT NULL,
  name      TEXT NOT NULL,
  allergens TEXT NOT NULL DEFAULT '',
  reaction  TEXT NOT NULL DEFAULT '',
  words     TEXT NOT NULL DEFAULT ''
) STRICT;
-- Weight in grams; length and head in centimetres.
CREATE TABLE measure (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  what  TEXT NOT NULL CHECK (what IN ('weight', 'length', 'head')),
  value REAL NOT NULL CHECK (value > 0)
) STRICT;
CREATE INDEX measure_child ON measure (child, what);
-- From a day on, until it is written anew (a dose of nothing ends it), or on one day only (missed: a dose of nothing).
-- The amount is in the unit of the nutrient table.
CREATE TABLE supplement (
  entry   INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child   TEXT NOT NULL,
  product TEXT NOT NULL,
  number  INTEGER NOT NULL,
  amount  REAL NOT NULL CHECK (amount >= 0),
  one_day INTEGER NOT NULL CHECK (one_day IN (0, 1))
) STRICT;
CREATE INDEX supplement_child ON supplement (child);
CREATE TABLE note (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  topic TEXT NOT NULL,
  words TEXT NOT NULL
) STRICT;
-- A day of which every meal was written down.
CREATE TABLE whole_day (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL
) STRICT;
CREATE INDEX whole_day_child ON whole_day (child);
-- A visit at the doctor's that took place.
CREATE TABLE visit (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  words TEXT NOT NULL DEFAULT ''
) STRICT;
-- Another name of a child or a recipe, carried through the whole record.
CREATE TABLE rename (
  entry  INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  what   TEXT NOT NULL CHECK (what IN ('child', 'recipe')),
  former TEXT NOT NULL,
  later  TEXT NOT NULL
) STRICT;
-- A line of the shopping list that was ticked off.
CREATE TABLE tick (
  first TEXT NOT NULL,
  what  TEXT NOT NULL,
  PRIMARY KEY (first, what)
) STRICT, WITHOUT ROWID;
-- The food that the household means by a word.
CREATE TABLE word (
  typed TEXT PRIMARY KEY,
  food  TEXT NOT NULL
) STRICT;
-- The last command, if it was to record something and failed; not part of the record.
CREATE TABLE failed_command (
  words TEXT NOT NULL
) STRICT;
