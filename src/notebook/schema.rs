//! The layout of `book.sqlite`, and how an older one becomes the newest.

use rusqlite::{Connection, Transaction};

/// Marks a SQLite file as a book of this program: the letters `TRAY`.
pub(super) const APPLICATION: u32 = 0x5452_4159;

/// The steps from an empty file to the newest layout; a book of version N has taken the first N.
pub(super) const MIGRATIONS: &[&str] = &["
CREATE TABLE entry (
  id   INTEGER PRIMARY KEY AUTOINCREMENT,
  day  TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('batch', 'feeding', 'discard', 'purchase')),
  note TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX entry_day ON entry (day);
CREATE TABLE batch (
  entry   INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  name    TEXT NOT NULL,
  title   TEXT NOT NULL,
  tray    TEXT NOT NULL,
  cubes   INTEGER NOT NULL CHECK (cubes > 0),
  cube_g  REAL NOT NULL CHECK (cube_g > 0),
  use_by  TEXT NOT NULL,
  dataset TEXT NOT NULL,
  cost    TEXT,
  unpriced TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX batch_name ON batch (name);
CREATE TABLE batch_food (
  batch       INTEGER NOT NULL REFERENCES batch (entry) ON DELETE CASCADE,
  food        TEXT NOT NULL,
  name        TEXT NOT NULL,
  purchased_g REAL NOT NULL CHECK (purchased_g >= 0),
  allergens   TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (batch, food)
) STRICT, WITHOUT ROWID;
CREATE TABLE batch_nutrient (
  batch    INTEGER NOT NULL REFERENCES batch (entry) ON DELETE CASCADE,
  number   INTEGER NOT NULL,
  frozen   REAL,
  served   REAL,
  missing  TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (batch, number)
) STRICT, WITHOUT ROWID;
CREATE TABLE feeding (
  entry    INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child    TEXT NOT NULL,
  how      TEXT NOT NULL CHECK (how IN ('taken', 'some', 'refused')),
  reaction TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE TABLE feeding_part (
  feeding INTEGER NOT NULL REFERENCES feeding (entry) ON DELETE CASCADE,
  batch   INTEGER NOT NULL REFERENCES batch (entry),
  cubes   INTEGER NOT NULL CHECK (cubes > 0),
  PRIMARY KEY (feeding, batch)
) STRICT, WITHOUT ROWID;
CREATE INDEX feeding_part_batch ON feeding_part (batch);
CREATE TABLE discard (
  entry INTEGER NOT NULL REFERENCES entry (id) ON DELETE CASCADE,
  batch INTEGER NOT NULL REFERENCES batch (entry),
  cubes INTEGER NOT NULL CHECK (cubes > 0),
  why   TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (entry, batch)
) STRICT, WITHOUT ROWID;
CREATE INDEX discard_batch ON discard (batch);
CREATE TABLE purchase (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  food  TEXT NOT NULL,
  name  TEXT NOT NULL,
  grams REAL NOT NULL CHECK (grams > 0),
  price TEXT NOT NULL,
  store TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX purchase_food ON purchase (food);
CREATE VIEW stock AS
  SELECT batch.entry AS batch, batch.cubes
    - coalesce((SELECT sum(cubes) FROM feeding_part WHERE feeding_part.batch = batch.entry), 0)
    - coalesce((SELECT sum(cubes) FROM discard WHERE discard.batch = batch.entry), 0) AS cubes
  FROM batch;
", "
-- What an entry may be of is checked with the rest, so that a new kind needs no new table.
CREATE TABLE entry_next (
  id   INTEGER PRIMARY KEY AUTOINCREMENT,
  day  TEXT NOT NULL,
  kind TEXT NOT NULL,
  note TEXT NOT NULL DEFAULT ''
) STRICT;
INSERT INTO entry_next SELECT id, day, kind, note FROM entry;
UPDATE sqlite_sequence SET seq = (SELECT seq FROM sqlite_sequence WHERE name = 'entry')
  WHERE name = 'entry_next';
DROP TABLE entry;
ALTER TABLE entry_next RENAME TO entry;
CREATE INDEX entry_day ON entry (day);
-- Of one cube: liquid blended in; edible mass of a food, and iron from it as served.
ALTER TABLE batch ADD COLUMN liquid_g REAL;
ALTER TABLE batch_food ADD COLUMN edible_g REAL;
ALTER TABLE batch_food ADD COLUMN iron_mg REAL;
-- The share that was eaten, where the household said so.
ALTER TABLE feeding ADD COLUMN meal TEXT NOT NULL DEFAULT '';
ALTER TABLE feeding ADD COLUMN share REAL CHECK (share BETWEEN 0 AND 1);
-- A food with its composition as it was when it was given.
CREATE TABLE food (
  id        INTEGER PRIMARY KEY,
  food      TEXT NOT NULL,
  name      TEXT NOT NULL,
  dataset   TEXT NOT NULL,
  allergens TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX food_food ON food (food);
CREATE TABLE food_nutrient (
  food     INTEGER NOT NULL REFERENCES food (id) ON DELETE CASCADE,
  number   INTEGER NOT NULL,
  per_100g REAL NOT NULL,
  PRIMARY KEY (food, number)
) STRICT, WITHOUT ROWID;
CREATE TABLE feeding_food (
  feeding INTEGER NOT NULL REFERENCES feeding (entry) ON DELETE CASCADE,
  food    INTEGER NOT NULL REFERENCES food (id),
  grams   REAL NOT NULL CHECK (grams > 0),
  PRIMARY KEY (feeding, food)
) STRICT, WITHOUT ROWID;
-- What a child drinks a day: from a day on, until it is said anew, or on one day only.
CREATE TABLE milk (
  entry    INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child    TEXT NOT NULL,
  one_day  INTEGER NOT NULL CHECK (one_day IN (0, 1))
) STRICT;
-- Neither grams nor feeds: breast milk as it is wanted.
CREATE TABLE milk_part (
  milk     INTEGER NOT NULL REFERENCES milk (entry) ON DELETE CASCADE,
  position INTEGER NOT NULL,
  food     INTEGER NOT NULL REFERENCES food (id),
  breast   INTEGER NOT NULL CHECK (breast IN (0, 1)),
  grams    REAL CHECK (grams > 0),
  feeds    INTEGER CHECK (feeds > 0),
  PRIMARY KEY (milk, position)
) STRICT, WITHOUT ROWID;
-- A meal that is planned, or what is to be cooked on a day (no child, no meal); the last word counts.
CREATE TABLE planned (
  entry INTEGER NOT NULL REFERENCES entry (id) ON DELETE CASCADE,
  day   TEXT NOT NULL,
  child TEXT NOT NULL,
  meal  TEXT NOT NULL,
  PRIMARY KEY (entry, day, child, meal)
) STRICT, WITHOUT ROWID;
CREATE INDEX planned_slot ON planned (day, child, meal);
CREATE TABLE planned_part (
  entry    INTEGER NOT NULL,
  day      TEXT NOT NULL,
  child    TEXT NOT NULL,
  meal     TEXT NOT NULL,
  position INTEGER NOT NULL,
  what     TEXT NOT NULL,
  cubes    INTEGER CHECK (cubes > 0),
  grams    REAL CHECK (grams > 0),
  trays    INTEGER CHECK (trays > 0),
  PRIMARY KEY (entry, day, child, meal, position),
  FOREIGN KEY (entry, day, child, meal) REFERENCES planned ON DELETE CASCADE
) STRICT, WITHOUT ROWID;
CREATE TABLE question (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  words TEXT NOT NULL
) STRICT;
", "
-- How a food was cooked; nothing where that is not on record.
ALTER TABLE batch_food ADD COLUMN method TEXT;
-- The doctor cleared a food of a child after a reaction, as the household says.
CREATE TABLE clearance (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  food  TEXT NOT NULL,
  words TEXT NOT NULL DEFAULT ''
) STRICT;
", include_str!("schema/layout_4.sql"), include_str!("schema/layout_5.sql"), include_str!("schema/layout_6.sql"), include_str!("schema/layout_7.sql"), include_str!("schema/layout_8.sql"), include_str!("schema/layout_9.sql")];

/// The tables in an order in which each refers only to earlier ones.
pub(super) const TABLES: [&str; 32] = [
    "device",
    "entry",
    "batch",
    "batch_food",
    "batch_nutrient",
    "batch_doubt",
    "food",
    "food_nutrient",
    "feeding",
    "feeding_part",
    "feeding_food",
    "discard",
    "purchase",
    "milk",
    "milk_part",
    "planned",
    "planned_part",
    "question",
    "clearance",
    "reaction",
    "answer",
    "known",
    "measure",
    "supplement",
    "note",
    "texture",
    "whole_day",
    "visit",
    "rename",
    "change",
    "tick",
    "word",
];

/// The tables of the first layout: every export has them.
pub(super) const FIRST_TABLES: [&str; 8] = [
    "entry",
    "batch",
    "batch_food",
    "batch_nutrient",
    "feeding",
    "feeding_part",
    "discard",
    "purchase",
];

/// Queries that give a line of text for each inconsistency.
pub(super) const CHECKS: [&str; 4] = [
    "SELECT integrity_check FROM pragma_integrity_check WHERE integrity_check <> 'ok'",
    "SELECT 'a row of ' || \"table\" || ' refers to one that is not there'
     FROM pragma_foreign_key_check",
    "SELECT 'batch ' || batch || ' has ' || cubes || ' cubes left' FROM stock WHERE cubes < 0",
    "SELECT kind || ' ' || id || ' has no row of its own' FROM entry WHERE id IS NOT
       CASE kind
         WHEN 'batch' THEN (SELECT entry FROM batch WHERE entry = id)
         WHEN 'feeding' THEN (SELECT entry FROM feeding WHERE entry = id AND (
           EXISTS (SELECT 1 FROM feeding_part WHERE feeding = entry)
           OR EXISTS (SELECT 1 FROM feeding_food WHERE feeding = entry)))
         WHEN 'discard' THEN (SELECT entry FROM discard WHERE entry = id)
         WHEN 'purchase' THEN (SELECT entry FROM purchase WHERE entry = id)
         WHEN 'milk' THEN (SELECT entry FROM milk WHERE entry = id)
         WHEN 'plan' THEN (SELECT entry FROM planned WHERE entry = id)
         WHEN 'question' THEN (SELECT entry FROM question WHERE entry = id)
         WHEN 'clearance' THEN (SELECT entry FROM clearance WHERE entry = id)
         WHEN 'reaction' THEN (SELECT entry FROM reaction WHERE entry = id)
         WHEN 'answer' THEN (SELECT entry FROM answer WHERE entry = id)
         WHEN 'known' THEN (SELECT entry FROM known WHERE entry = id)
         WHEN 'measure' THEN (SELECT entry FROM measure WHERE entry = id)
         WHEN 'supplement' THEN (SELECT entry FROM supplement WHERE entry = id)
         WHEN 'note' THEN (SELECT entry FROM note WHERE entry = id)
         WHEN 'texture' THEN (SELECT entry FROM texture WHERE entry = id)
         WHEN 'whole_day' THEN (SELECT entry FROM whole_day WHERE entry = id)
         WHEN 'visit' THEN (SELECT entry FROM visit WHERE entry = id)
         WHEN 'rename' THEN (SELECT entry FROM rename WHERE entry = id)
         WHEN 'change' THEN (SELECT entry FROM change WHERE entry = id) END",
];

/// The newest layout.
pub(super) fn newest() -> u32 {
    MIGRATIONS.iter().map(|_| 1).sum()
}

/// The layout of an open book.
pub(super) fn version(connection: &Connection) -> rusqlite::Result<u32> {
    connection.query_row("PRAGMA user_version", [], |row| row.get(0))
}

/// The mark of an open file, see [`APPLICATION`].
pub(super) fn application(connection: &Connection) -> rusqlite::Result<u32> {
    connection.query_row("PRAGMA application_id", [], |row| row.get(0))
}

/// Takes the steps from a layout to the newest.
pub(super) fn migrate(transaction: &Transaction<'_>, had: u32) -> rusqlite::Result<()> {
    if had >= newest() {
        return Ok(());
    }
    for (_, step) in (0..).zip(MIGRATIONS).filter(|(before, _)| *before >= had) {
        transaction.execute_batch(step)?;
    }
    transaction.pragma_update(None, "application_id", APPLICATION)?;
    transaction.pragma_update(None, "user_version", newest())
}
