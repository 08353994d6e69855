//! The layout of `book.sqlite`, and how an older one becomes the newest.

use rusqlite::{Connection, Transaction};

/// Marks a SQLite file as a book of this program: the letters `TRAY`.
pub(super) const APPLICATION: u32 = 0x5452_4159;

/// The steps from an empty file to the newest layout; a book of version N has had the first N.
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
"];

/// The tables in an order in which each refers only to earlier ones.
pub(super) const TABLES: [&str; 8] = [
    "entry",
    "batch",
    "batch_food",
    "batch_nutrient",
    "feeding",
    "feeding_part",
    "discard",
    "purchase",
];

/// Each gives a line of text for everything it finds wrong.
pub(super) const CHECKS: [&str; 4] = [
    "SELECT integrity_check FROM pragma_integrity_check WHERE integrity_check <> 'ok'",
    "SELECT 'a row of ' || \"table\" || ' refers to one that is not there'
     FROM pragma_foreign_key_check",
    "SELECT 'batch ' || batch || ' has ' || cubes || ' cubes left' FROM stock WHERE cubes < 0",
    "SELECT kind || ' ' || id || ' has no row of its own' FROM entry WHERE id IS NOT
       CASE kind
         WHEN 'batch' THEN (SELECT entry FROM batch WHERE entry = id)
         WHEN 'feeding' THEN (SELECT entry FROM feeding JOIN feeding_part ON feeding = entry
                              WHERE entry = id)
         WHEN 'discard' THEN (SELECT entry FROM discard WHERE entry = id)
         ELSE (SELECT entry FROM purchase WHERE entry = id) END",
];

/// The newest layout.
pub(super) fn newest() -> u32 {
    u32::try_from(MIGRATIONS.len()).unwrap_or(u32::MAX)
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
    let taken = usize::try_from(had).unwrap_or(usize::MAX);
    let steps = MIGRATIONS.get(taken..).unwrap_or_default();
    if steps.is_empty() {
        return Ok(());
    }
    for step in steps {
        transaction.execute_batch(step)?;
    }
    transaction.pragma_update(None, "application_id", APPLICATION)?;
    transaction.pragma_update(None, "user_version", newest())
}
