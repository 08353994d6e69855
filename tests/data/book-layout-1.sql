-- A record of the first layout, written by the first version of the program; the household is invented.
PRAGMA foreign_keys = OFF;
PRAGMA application_id = 0x54524159;
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
INSERT INTO "batch" VALUES(2,'lentil','Lentil and squash','tray',25,2.91109664281121780513e+01,'2026-11-01','USDA SR28 (2015), abbreviated','1.2','16144');
CREATE TABLE batch_food (
  batch       INTEGER NOT NULL REFERENCES batch (entry) ON DELETE CASCADE,
  food        TEXT NOT NULL,
  name        TEXT NOT NULL,
  purchased_g REAL NOT NULL CHECK (purchased_g >= 0),
  allergens   TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (batch, food)
) STRICT, WITHOUT ROWID;
INSERT INTO "batch_food" VALUES(2,'11485','Squash, winter, butternut, raw',300.0,'');
INSERT INTO "batch_food" VALUES(2,'16144','Lentils, pink or red, raw',150.0,'');
CREATE TABLE batch_nutrient (
  batch    INTEGER NOT NULL REFERENCES batch (entry) ON DELETE CASCADE,
  number   INTEGER NOT NULL,
  frozen   REAL,
  served   REAL,
  missing  TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (batch, number)
) STRICT, WITHOUT ROWID;
INSERT INTO "batch_nutrient" VALUES(2,203,1.51046168012961268267e+00,1.51046168012961268267e+00,'');
INSERT INTO "batch_nutrient" VALUES(2,208,2.55934421455334089041e+01,2.55934421455334089041e+01,'');
INSERT INTO "batch_nutrient" VALUES(2,303,4.40182414207369421266e-01,4.40182414207369421266e-01,'');
CREATE TABLE discard (
  entry INTEGER NOT NULL REFERENCES entry (id) ON DELETE CASCADE,
  batch INTEGER NOT NULL REFERENCES batch (entry),
  cubes INTEGER NOT NULL CHECK (cubes > 0),
  why   TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (entry, batch)
) STRICT, WITHOUT ROWID;
INSERT INTO "discard" VALUES(4,2,1,'frost');
CREATE TABLE entry (
  id   INTEGER PRIMARY KEY AUTOINCREMENT,
  day  TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('batch', 'feeding', 'discard', 'purchase')),
  note TEXT NOT NULL DEFAULT ''
) STRICT;
INSERT INTO "entry" VALUES(1,'2026-10-01','purchase','');
INSERT INTO "entry" VALUES(2,'2026-10-02','batch','');
INSERT INTO "entry" VALUES(3,'2026-10-03','feeding','');
INSERT INTO "entry" VALUES(4,'2026-10-04','discard','');
CREATE TABLE feeding (
  entry    INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child    TEXT NOT NULL,
  how      TEXT NOT NULL CHECK (how IN ('taken', 'some', 'refused')),
  reaction TEXT NOT NULL DEFAULT ''
) STRICT;
INSERT INTO "feeding" VALUES(3,'Wren','some','red cheeks');
CREATE TABLE feeding_part (
  feeding INTEGER NOT NULL REFERENCES feeding (entry) ON DELETE CASCADE,
  batch   INTEGER NOT NULL REFERENCES batch (entry),
  cubes   INTEGER NOT NULL CHECK (cubes > 0),
  PRIMARY KEY (feeding, batch)
) STRICT, WITHOUT ROWID;
INSERT INTO "feeding_part" VALUES(3,2,2);
CREATE TABLE purchase (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  food  TEXT NOT NULL,
  name  TEXT NOT NULL,
  grams REAL NOT NULL CHECK (grams > 0),
  price TEXT NOT NULL,
  store TEXT NOT NULL DEFAULT ''
) STRICT;
INSERT INTO "purchase" VALUES(1,'11485','Squash, winter, butternut, raw',1000.0,'4','');
CREATE INDEX entry_day ON entry (day);
CREATE INDEX batch_name ON batch (name);
CREATE INDEX feeding_part_batch ON feeding_part (batch);
CREATE INDEX discard_batch ON discard (batch);
CREATE INDEX purchase_food ON purchase (food);
CREATE VIEW stock AS
  SELECT batch.entry AS batch, batch.cubes
    - coalesce((SELECT sum(cubes) FROM feeding_part WHERE feeding_part.batch = batch.entry), 0)
    - coalesce((SELECT sum(cubes) FROM discard WHERE discard.batch = batch.entry), 0) AS cubes
  FROM batch;
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('entry',5);
PRAGMA user_version = 1;
