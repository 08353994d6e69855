-- A record of the second layout, written by the version of the program that used it; the household is invented.
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
, liquid_g REAL) STRICT;
INSERT INTO batch VALUES(2,'lentil','Lentil and squash','tray',25,29.110966428112178051,'2026-11-01','USDA SR28 (2015), abbreviated','1.2','11485',1.9675155400932817784);
CREATE TABLE batch_food (
  batch       INTEGER NOT NULL REFERENCES batch (entry) ON DELETE CASCADE,
  food        TEXT NOT NULL,
  name        TEXT NOT NULL,
  purchased_g REAL NOT NULL CHECK (purchased_g >= 0),
  allergens   TEXT NOT NULL DEFAULT '', edible_g REAL, iron_mg REAL,
  PRIMARY KEY (batch, food)
) STRICT, WITHOUT ROWID;
INSERT INTO batch_food VALUES(2,'11485','Squash, winter, butternut, raw',300.0,'',9.9162783220701395947,0.069413948254490973055);
INSERT INTO batch_food VALUES(2,'16144','Lentils, pink or red, raw',150.0,'',5.9025466202798453352,0.37076846595287843433);
CREATE TABLE batch_nutrient (
  batch    INTEGER NOT NULL REFERENCES batch (entry) ON DELETE CASCADE,
  number   INTEGER NOT NULL,
  frozen   REAL,
  served   REAL,
  missing  TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (batch, number)
) STRICT, WITHOUT ROWID;
INSERT INTO batch_nutrient VALUES(2,203,1.5104616801296126826,1.5104616801296126826,'');
INSERT INTO batch_nutrient VALUES(2,208,25.593442145533408904,25.593442145533408904,'');
INSERT INTO batch_nutrient VALUES(2,303,0.44018241420736942126,0.44018241420736942126,'');
CREATE TABLE feeding (
  entry    INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child    TEXT NOT NULL,
  how      TEXT NOT NULL CHECK (how IN ('taken', 'some', 'refused')),
  reaction TEXT NOT NULL DEFAULT ''
, meal TEXT NOT NULL DEFAULT '', share REAL CHECK (share BETWEEN 0 AND 1)) STRICT;
INSERT INTO feeding VALUES(3,'Wren','some','red cheeks','lunch',0.4000000000000000222);
CREATE TABLE feeding_part (
  feeding INTEGER NOT NULL REFERENCES feeding (entry) ON DELETE CASCADE,
  batch   INTEGER NOT NULL REFERENCES batch (entry),
  cubes   INTEGER NOT NULL CHECK (cubes > 0),
  PRIMARY KEY (feeding, batch)
) STRICT, WITHOUT ROWID;
INSERT INTO feeding_part VALUES(3,2,2);
CREATE TABLE discard (
  entry INTEGER NOT NULL REFERENCES entry (id) ON DELETE CASCADE,
  batch INTEGER NOT NULL REFERENCES batch (entry),
  cubes INTEGER NOT NULL CHECK (cubes > 0),
  why   TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (entry, batch)
) STRICT, WITHOUT ROWID;
INSERT INTO discard VALUES(4,2,1,'frost');
CREATE TABLE purchase (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  food  TEXT NOT NULL,
  name  TEXT NOT NULL,
  grams REAL NOT NULL CHECK (grams > 0),
  price TEXT NOT NULL,
  store TEXT NOT NULL DEFAULT ''
) STRICT;
INSERT INTO purchase VALUES(1,'16144','Lentils, pink or red, raw',1000.0,'8','');
CREATE TABLE IF NOT EXISTS "entry" (
  id   INTEGER PRIMARY KEY AUTOINCREMENT,
  day  TEXT NOT NULL,
  kind TEXT NOT NULL,
  note TEXT NOT NULL DEFAULT ''
) STRICT;
INSERT INTO entry VALUES(1,'2026-10-01','purchase','');
INSERT INTO entry VALUES(2,'2026-10-02','batch','');
INSERT INTO entry VALUES(3,'2026-10-03','feeding','');
INSERT INTO entry VALUES(4,'2026-10-04','discard','');
INSERT INTO entry VALUES(5,'2026-10-03','milk','');
INSERT INTO entry VALUES(6,'2026-11-27','question','');
INSERT INTO entry VALUES(7,'2026-12-05','plan','');
INSERT INTO entry VALUES(8,'2026-12-06','plan','');
CREATE TABLE food (
  id        INTEGER PRIMARY KEY,
  food      TEXT NOT NULL,
  name      TEXT NOT NULL,
  dataset   TEXT NOT NULL,
  allergens TEXT NOT NULL DEFAULT ''
) STRICT;
INSERT INTO food VALUES(1,'09003','Apples, raw, with skin','USDA SR28 (2015), abbreviated','');
INSERT INTO food VALUES(2,'01107','Milk, human, mature, fluid','USDA SR28 (2015), abbreviated','');
CREATE TABLE food_nutrient (
  food     INTEGER NOT NULL REFERENCES food (id) ON DELETE CASCADE,
  number   INTEGER NOT NULL,
  per_100g REAL NOT NULL,
  PRIMARY KEY (food, number)
) STRICT, WITHOUT ROWID;
INSERT INTO food_nutrient VALUES(1,203,0.26000000000000000888);
INSERT INTO food_nutrient VALUES(1,208,52.0);
INSERT INTO food_nutrient VALUES(1,303,0.11999999999999999555);
INSERT INTO food_nutrient VALUES(2,203,1.0300000000000000266);
INSERT INTO food_nutrient VALUES(2,208,70.0);
INSERT INTO food_nutrient VALUES(2,303,0.029999999999999998889);
CREATE TABLE feeding_food (
  feeding INTEGER NOT NULL REFERENCES feeding (entry) ON DELETE CASCADE,
  food    INTEGER NOT NULL REFERENCES food (id),
  grams   REAL NOT NULL CHECK (grams > 0),
  PRIMARY KEY (feeding, food)
) STRICT, WITHOUT ROWID;
INSERT INTO feeding_food VALUES(3,1,20.0);
CREATE TABLE milk (
  entry    INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child    TEXT NOT NULL,
  one_day  INTEGER NOT NULL CHECK (one_day IN (0, 1))
) STRICT;
INSERT INTO milk VALUES(5,'Wren',0);
CREATE TABLE milk_part (
  milk     INTEGER NOT NULL REFERENCES milk (entry) ON DELETE CASCADE,
  position INTEGER NOT NULL,
  food     INTEGER NOT NULL REFERENCES food (id),
  breast   INTEGER NOT NULL CHECK (breast IN (0, 1)),
  grams    REAL CHECK (grams > 0),
  feeds    INTEGER CHECK (feeds > 0),
  PRIMARY KEY (milk, position)
) STRICT, WITHOUT ROWID;
INSERT INTO milk_part VALUES(5,0,2,1,NULL,5);
CREATE TABLE planned (
  entry INTEGER NOT NULL REFERENCES entry (id) ON DELETE CASCADE,
  day   TEXT NOT NULL,
  child TEXT NOT NULL,
  meal  TEXT NOT NULL,
  PRIMARY KEY (entry, day, child, meal)
) STRICT, WITHOUT ROWID;
INSERT INTO planned VALUES(7,'2026-12-05','Wren','lunch');
INSERT INTO planned VALUES(8,'2026-12-06','','');
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
INSERT INTO planned_part VALUES(7,'2026-12-05','Wren','lunch',0,'lentil',2,NULL,NULL);
INSERT INTO planned_part VALUES(8,'2026-12-06','','',0,'lentil',NULL,NULL,1);
CREATE TABLE question (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  words TEXT NOT NULL
) STRICT;
INSERT INTO question VALUES(6,'Wren','May we go on?');
DELETE FROM sqlite_sequence;
INSERT INTO sqlite_sequence VALUES('entry',9);
CREATE INDEX batch_name ON batch (name);
CREATE INDEX feeding_part_batch ON feeding_part (batch);
CREATE INDEX discard_batch ON discard (batch);
CREATE INDEX purchase_food ON purchase (food);
CREATE VIEW stock AS
  SELECT batch.entry AS batch, batch.cubes
    - coalesce((SELECT sum(cubes) FROM feeding_part WHERE feeding_part.batch = batch.entry), 0)
    - coalesce((SELECT sum(cubes) FROM discard WHERE discard.batch = batch.entry), 0) AS cubes
  FROM batch;
CREATE INDEX entry_day ON entry (day);
CREATE INDEX food_food ON food (food);
CREATE INDEX planned_slot ON planned (day, child, meal);
PRAGMA user_version = 2;
