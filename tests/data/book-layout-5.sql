-- A record of the fifth layout, written by the version of the program that used it; the household is invented.
PRAGMA foreign_keys = OFF;
PRAGMA application_id = 0x54524159;
PRAGMA user_version = 5;
CREATE TABLE answer (
  entry    INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  question INTEGER NOT NULL REFERENCES question (entry),
  words    TEXT NOT NULL
) STRICT;
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
, liquid_g REAL, counted INTEGER NOT NULL DEFAULT 0 CHECK (counted IN (0, 1))) STRICT;
INSERT INTO "batch" VALUES(1,'squash','Squash','tray',20,2.34360000000000034958e+01,'2026-11-04','USDA SR28 (2015)',NULL,'',0.0,1);
CREATE TABLE batch_doubt (
  batch   INTEGER NOT NULL REFERENCES batch (entry) ON DELETE CASCADE,
  cause   TEXT NOT NULL,
  amounts TEXT NOT NULL,
  PRIMARY KEY (batch, cause)
) STRICT, WITHOUT ROWID;
INSERT INTO "batch_doubt" VALUES(1,'database 11485','203:2.2599e-1:1 204:5.9230e-1:1 205:1.2809e-1:calculated 207:2.4713e-1:unknown 208:6.5422e-2:calculated 255:2.4884e-2:5 269:2.7490e-1:calculated 291:3.0598e-1:calculated 301:3.7938e-1:1 303:4.8494e-1:1 304:2.6882e-1:1 305:2.5922e-1:1 306:2.7734e-1:2 307:7.4955e-1:1 309:3.3703e-1:unknown 312:4.4676e-1:unknown 315:4.2768e-1:calculated 317:8.7022e-1:calculated 318:5.6821e-1:calculated 319:0.0000e0:calculated 320:5.6829e-1:calculated 321:5.7360e-1:9 322:5.7591e-1:8 323:6.1003e-1:calculated 324:0.0000e0:calculated 328:0.0000e0:calculated 334:8.0696e-1:calculated 337:0.0000e0:calculated 338:0.0000e0:calculated 401:8.9582e-1:1 404:6.5503e-1:1 405:8.0954e-1:1 406:4.4366e-1:1 410:6.0267e-1:unknown 415:5.1730e-1:unknown 417:4.7099e-1:3 418:0.0000e0:calculated 430:8.0736e-1:1 431:0.0000e0:calculated 432:5.6742e-1:3 435:5.6730e-1:calculated 601:0.0000e0:calculated 606:5.8165e-1:unknown 645:5.9230e-1:unknown 646:6.0690e-1:unknown');
INSERT INTO "batch_doubt" VALUES(1,'database 14411','203:0.0000e0:calculated 204:0.0000e0:calculated 205:0.0000e0:calculated 207:0.0000e0:calculated 208:0.0000e0:calculated 269:0.0000e0:calculated 291:0.0000e0:calculated 301:0.0000e0:287 303:0.0000e0:287 304:0.0000e0:287 305:0.0000e0:287 306:0.0000e0:287 307:0.0000e0:287 309:0.0000e0:287 312:0.0000e0:287 315:0.0000e0:287 317:0.0000e0:calculated 318:0.0000e0:calculated 319:0.0000e0:calculated 320:0.0000e0:calculated 321:0.0000e0:calculated 322:0.0000e0:calculated 323:0.0000e0:calculated 324:0.0000e0:calculated 328:0.0000e0:calculated 334:0.0000e0:calculated 337:0.0000e0:calculated 338:0.0000e0:calculated 401:0.0000e0:calculated 404:0.0000e0:calculated 405:0.0000e0:calculated 406:0.0000e0:calculated 410:0.0000e0:calculated 415:0.0000e0:calculated 417:0.0000e0:calculated 418:0.0000e0:calculated 421:0.0000e0:calculated 430:0.0000e0:calculated 431:0.0000e0:calculated 432:0.0000e0:calculated 435:0.0000e0:calculated 601:0.0000e0:calculated 606:0.0000e0:calculated 645:0.0000e0:calculated 646:0.0000e0:calculated');
INSERT INTO "batch_doubt" VALUES(1,'faint','203:0.0000e0 204:0.0000e0 205:0.0000e0 207:0.0000e0 208:0.0000e0 255:0.0000e0 269:0.0000e0 291:0.0000e0 301:0.0000e0 303:0.0000e0 304:0.0000e0 305:0.0000e0 306:0.0000e0 307:0.0000e0 309:0.0000e0 312:0.0000e0 315:0.0000e0 317:0.0000e0 318:1.0000e0 319:0.0000e0 320:1.0000e0 321:1.0000e0 322:0.0000e0 323:0.0000e0 324:0.0000e0 328:0.0000e0 334:0.0000e0 337:0.0000e0 338:0.0000e0 401:0.0000e0 404:0.0000e0 405:0.0000e0 406:0.0000e0 410:0.0000e0 415:0.0000e0 417:0.0000e0 418:0.0000e0 421:0.0000e0 430:0.0000e0 431:0.0000e0 432:0.0000e0 435:0.0000e0 601:0.0000e0 606:0.0000e0 645:0.0000e0 646:0.0000e0');
INSERT INTO "batch_doubt" VALUES(1,'lot 11485','203:1.3900e-1 204:3.9300e-1 205:1.7900e-1 207:1.5500e-1 208:1.3000e-1 255:2.7422e-2 269:1.5800e-1 291:1.2100e-1 301:2.3900e-1 303:3.0300e-1 304:1.5300e-1 305:1.4500e-1 306:1.6000e-1 307:3.8300e-1 309:2.0700e-1 312:2.7400e-1 315:2.3800e-1 317:4.9266e-1 318:8.2288e-1 320:8.2283e-1 321:8.1913e-1 322:8.1751e-1 323:1.8100e-1 334:4.0500e-1 401:3.3600e-1 404:2.4400e-1 405:2.0900e-1 406:1.8700e-1 410:1.6900e-1 415:1.7500e-1 417:2.4082e-1 430:2.0500e-1 432:2.4165e-1 435:2.4082e-1 606:3.9300e-1 645:3.9300e-1 646:3.9300e-1');
INSERT INTO "batch_doubt" VALUES(1,'lot 14411','');
INSERT INTO "batch_doubt" VALUES(1,'mass 11485 0','203:3.3333e-3 204:3.3333e-3 205:3.3333e-3 207:3.3333e-3 208:3.3333e-3 255:3.3333e-3 269:3.3333e-3 291:3.3333e-3 301:3.3333e-3 303:3.3333e-3 304:3.3333e-3 305:3.3333e-3 306:3.3333e-3 307:3.3333e-3 309:3.3333e-3 312:3.3333e-3 315:3.3333e-3 317:3.3333e-3 318:3.3333e-3 320:3.3333e-3 321:3.3333e-3 322:3.3333e-3 323:3.3333e-3 334:3.3333e-3 401:3.3333e-3 404:3.3333e-3 405:3.3333e-3 406:3.3333e-3 410:3.3333e-3 415:3.3333e-3 417:3.3333e-3 430:3.3333e-3 432:3.3333e-3 435:3.3333e-3 606:3.3333e-3 645:3.3333e-3 646:3.3333e-3');
INSERT INTO "batch_doubt" VALUES(1,'refuse 11485','203:2.8571e-2 204:2.8571e-2 205:2.8571e-2 207:2.8571e-2 208:2.8571e-2 255:2.8571e-2 269:2.8571e-2 291:2.8571e-2 301:2.8571e-2 303:2.8571e-2 304:2.8571e-2 305:2.8571e-2 306:2.8571e-2 307:2.8571e-2 309:2.8571e-2 312:2.8571e-2 315:2.8571e-2 317:2.8571e-2 318:2.8571e-2 320:2.8571e-2 321:2.8571e-2 322:2.8571e-2 323:2.8571e-2 334:2.8571e-2 401:2.8571e-2 404:2.8571e-2 405:2.8571e-2 406:2.8571e-2 410:2.8571e-2 415:2.8571e-2 417:2.8571e-2 430:2.8571e-2 432:2.8571e-2 435:2.8571e-2 606:2.8571e-2 645:2.8571e-2 646:2.8571e-2');
INSERT INTO "batch_doubt" VALUES(1,'retention 11485 3784','203:5.0000e-2 204:5.0000e-2 205:5.0000e-2 207:5.0000e-2 208:5.0000e-2 269:5.0000e-2 291:5.0000e-2 301:7.1466e-2 303:7.1466e-2 304:7.1466e-2 305:7.1466e-2 306:7.1466e-2 307:7.1466e-2 309:7.1466e-2 312:7.1466e-2 315:1.2000e-1 317:1.2000e-1 318:1.2722e-1 320:1.2722e-1 321:1.2722e-1 322:1.2722e-1 323:2.0000e-1 334:1.2722e-1 401:1.4219e-1 404:1.3429e-1 405:1.2722e-1 406:1.2722e-1 410:2.0000e-1 415:1.3429e-1 417:1.4219e-1 430:2.0000e-1 432:1.4219e-1 435:1.4219e-1 606:5.0000e-2 645:5.0000e-2 646:5.0000e-2');
INSERT INTO "batch_doubt" VALUES(1,'retention 11485 3788','301:1.4400e-2 303:1.4400e-2 304:1.4400e-2 305:1.4400e-2 306:1.4400e-2 307:1.4400e-2 309:1.4400e-2 312:1.4400e-2 318:1.4400e-2 320:1.4400e-2 321:1.4400e-2 322:1.4400e-2 334:1.4400e-2 401:1.6000e-2 404:1.5158e-2 405:1.4400e-2 406:1.4400e-2 415:1.4400e-2 417:1.5158e-2 432:1.5158e-2 435:1.5158e-2');
INSERT INTO "batch_doubt" VALUES(1,'yield 11485 steam estimate','255:2.3303e-1');
CREATE TABLE batch_food (
  batch       INTEGER NOT NULL REFERENCES batch (entry) ON DELETE CASCADE,
  food        TEXT NOT NULL,
  name        TEXT NOT NULL,
  purchased_g REAL NOT NULL CHECK (purchased_g >= 0),
  allergens   TEXT NOT NULL DEFAULT '', edible_g REAL, iron_mg REAL, method TEXT,
  PRIMARY KEY (batch, food)
) STRICT, WITHOUT ROWID;
INSERT INTO "batch_food" VALUES(1,'11485','Squash, winter, butternut, raw',600.0,'',2.52000000000000028426e+01,0.1764,'steam');
CREATE TABLE batch_nutrient (
  batch    INTEGER NOT NULL REFERENCES batch (entry) ON DELETE CASCADE,
  number   INTEGER NOT NULL,
  frozen   REAL,
  served   REAL,
  missing  TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (batch, number)
) STRICT, WITHOUT ROWID;
INSERT INTO "batch_nutrient" VALUES(1,203,0.24444,0.24444,'');
INSERT INTO "batch_nutrient" VALUES(1,204,0.0252,0.0252,'');
INSERT INTO "batch_nutrient" VALUES(1,205,2.8575036,2.8575036,'');
INSERT INTO "batch_nutrient" VALUES(1,207,0.2016,0.2016,'');
INSERT INTO "batch_nutrient" VALUES(1,208,10.9998,10.9998,'');
INSERT INTO "batch_nutrient" VALUES(1,255,20.1140604,20.1140604,'');
INSERT INTO "batch_nutrient" VALUES(1,269,5.37768000000000134797e-01,5.37768000000000134797e-01,'');
INSERT INTO "batch_nutrient" VALUES(1,291,0.504,0.504,'');
INSERT INTO "batch_nutrient" VALUES(1,301,12.096,12.096,'');
INSERT INTO "batch_nutrient" VALUES(1,303,0.1764,0.1764,'');
INSERT INTO "batch_nutrient" VALUES(1,304,8.56800000000000139266e+00,8.56800000000000139266e+00,'');
INSERT INTO "batch_nutrient" VALUES(1,305,8.316,8.316,'');
INSERT INTO "batch_nutrient" VALUES(1,306,8.87040000000000077289e+01,8.87040000000000077289e+01,'');
INSERT INTO "batch_nutrient" VALUES(1,307,1.008,1.008,'');
INSERT INTO "batch_nutrient" VALUES(1,309,0.0378,0.0378,'');
INSERT INTO "batch_nutrient" VALUES(1,312,0.018144,0.018144,'');
INSERT INTO "batch_nutrient" VALUES(1,315,5.09040000000000047997e-02,5.09040000000000047997e-02,'');
INSERT INTO "batch_nutrient" VALUES(1,317,0.126,0.126,'');
INSERT INTO "batch_nutrient" VALUES(1,318,2544.822,2544.822,'');
INSERT INTO "batch_nutrient" VALUES(1,319,0.0,0.0,'');
INSERT INTO "batch_nutrient" VALUES(1,320,127.3608,127.3608,'');
INSERT INTO "batch_nutrient" VALUES(1,321,1.01170440000000007784e+03,1.01170440000000007784e+03,'');
INSERT INTO "batch_nutrient" VALUES(1,322,1.99659599999999983312e+02,1.99659599999999983312e+02,'');
INSERT INTO "batch_nutrient" VALUES(1,323,3.62880000000000035864e-01,3.62880000000000035864e-01,'');
INSERT INTO "batch_nutrient" VALUES(1,324,0.0,0.0,'');
INSERT INTO "batch_nutrient" VALUES(1,328,0.0,0.0,'');
INSERT INTO "batch_nutrient" VALUES(1,334,8.30957400000000120585e+02,8.30957400000000120585e+02,'');
INSERT INTO "batch_nutrient" VALUES(1,337,0.0,0.0,'');
INSERT INTO "batch_nutrient" VALUES(1,338,0.0,0.0,'');
INSERT INTO "batch_nutrient" VALUES(1,401,4.4982,4.04838000000000075573e+00,'');
INSERT INTO "batch_nutrient" VALUES(1,404,2.26800000000000022415e-02,0.021546,'');
INSERT INTO "batch_nutrient" VALUES(1,405,4.78800000000000058886e-03,4.78800000000000058886e-03,'');
INSERT INTO "batch_nutrient" VALUES(1,406,2.87279999999999924309e-01,2.87279999999999924309e-01,'');
INSERT INTO "batch_nutrient" VALUES(1,410,0.1008,0.1008,'');
INSERT INTO "batch_nutrient" VALUES(1,415,0.0349272,0.0349272,'');
INSERT INTO "batch_nutrient" VALUES(1,417,5.7834,5.49423000000000083531e+00,'');
INSERT INTO "batch_nutrient" VALUES(1,418,0.0,0.0,'');
INSERT INTO "batch_nutrient" VALUES(1,421,NULL,NULL,'11485');
INSERT INTO "batch_nutrient" VALUES(1,430,2.77200000000000057465e-01,2.77200000000000057465e-01,'');
INSERT INTO "batch_nutrient" VALUES(1,431,0.0,0.0,'');
INSERT INTO "batch_nutrient" VALUES(1,432,5.7834,5.49423000000000083531e+00,'');
INSERT INTO "batch_nutrient" VALUES(1,435,5.7834,5.49423000000000083531e+00,'');
INSERT INTO "batch_nutrient" VALUES(1,601,0.0,0.0,'');
INSERT INTO "batch_nutrient" VALUES(1,606,5.29200000000000156386e-03,5.29200000000000156386e-03,'');
INSERT INTO "batch_nutrient" VALUES(1,645,0.001764,0.001764,'');
INSERT INTO "batch_nutrient" VALUES(1,646,1.05840000000000031277e-02,1.05840000000000031277e-02,'');
CREATE TABLE change (
  entry  INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  target INTEGER NOT NULL,
  act    TEXT NOT NULL CHECK (act IN ('correction', 'undo', 'redo')),
  undoes INTEGER CHECK ((undoes IS NULL) = (act = 'correction')),
  former TEXT CHECK (json_valid(former)),
  later  TEXT CHECK (json_valid(later))
) STRICT;
INSERT INTO "change" VALUES(7,6,'undo',6,'{"entry":[{"day":"2026-10-07","device":null,"id":6,"key":null,"kind":"feeding","note":""}],"feeding":[{"child":"Wren","entry":6,"how":"taken","meal":"","reaction":"","share":null}],"feeding_food":[],"feeding_part":[{"batch":1,"cubes":1,"feeding":6,"halved":0}]}',NULL);
CREATE TABLE clearance (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  food  TEXT NOT NULL,
  words TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE TABLE device (
  id    INTEGER PRIMARY KEY,
  name  TEXT NOT NULL,
  since TEXT NOT NULL
) STRICT;
CREATE TABLE discard (
  entry INTEGER NOT NULL REFERENCES entry (id) ON DELETE CASCADE,
  batch INTEGER NOT NULL REFERENCES batch (entry),
  cubes INTEGER NOT NULL CHECK (cubes > 0),
  why   TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (entry, batch)
) STRICT, WITHOUT ROWID;
CREATE TABLE "entry" (
  id   INTEGER PRIMARY KEY AUTOINCREMENT,
  day  TEXT NOT NULL,
  kind TEXT NOT NULL,
  note TEXT NOT NULL DEFAULT ''
, key TEXT, device INTEGER REFERENCES device (id)) STRICT;
INSERT INTO "entry" VALUES(1,'2026-10-05','batch','',NULL,NULL);
INSERT INTO "entry" VALUES(2,'2026-10-06','feeding','',NULL,NULL);
INSERT INTO "entry" VALUES(3,'2026-10-07','texture','',NULL,NULL);
INSERT INTO "entry" VALUES(4,'2026-10-07','note','',NULL,NULL);
INSERT INTO "entry" VALUES(5,'2026-10-09','plan','',NULL,NULL);
INSERT INTO "entry" VALUES(7,'2026-11-27','change','',NULL,NULL);
CREATE TABLE failed_command (
  words TEXT NOT NULL
) STRICT;
CREATE TABLE feeding (
  entry    INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child    TEXT NOT NULL,
  how      TEXT NOT NULL CHECK (how IN ('taken', 'some', 'refused')),
  reaction TEXT NOT NULL DEFAULT ''
, meal TEXT NOT NULL DEFAULT '', share REAL CHECK (share BETWEEN 0 AND 1)) STRICT;
INSERT INTO "feeding" VALUES(2,'Wren','taken','','',NULL);
CREATE TABLE feeding_food (
  feeding INTEGER NOT NULL REFERENCES feeding (entry) ON DELETE CASCADE,
  food    INTEGER NOT NULL REFERENCES food (id),
  grams   REAL NOT NULL CHECK (grams > 0),
  PRIMARY KEY (feeding, food)
) STRICT, WITHOUT ROWID;
CREATE TABLE feeding_part (
  feeding INTEGER NOT NULL REFERENCES feeding (entry) ON DELETE CASCADE,
  batch   INTEGER NOT NULL REFERENCES batch (entry),
  cubes   INTEGER NOT NULL CHECK (cubes > 0), halved INTEGER NOT NULL DEFAULT 0 CHECK (halved >= 0),
  PRIMARY KEY (feeding, batch)
) STRICT, WITHOUT ROWID;
INSERT INTO "feeding_part" VALUES(2,1,2,1);
CREATE TABLE food (
  id        INTEGER PRIMARY KEY,
  food      TEXT NOT NULL,
  name      TEXT NOT NULL,
  dataset   TEXT NOT NULL,
  allergens TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE TABLE food_nutrient (
  food     INTEGER NOT NULL REFERENCES food (id) ON DELETE CASCADE,
  number   INTEGER NOT NULL,
  per_100g REAL NOT NULL,
  PRIMARY KEY (food, number)
) STRICT, WITHOUT ROWID;
CREATE TABLE known (
  entry     INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child     TEXT NOT NULL,
  food      TEXT NOT NULL,
  name      TEXT NOT NULL,
  allergens TEXT NOT NULL DEFAULT '',
  reaction  TEXT NOT NULL DEFAULT '',
  words     TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE TABLE measure (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  what  TEXT NOT NULL CHECK (what IN ('weight', 'length', 'head')),
  value REAL NOT NULL CHECK (value > 0)
) STRICT;
CREATE TABLE milk (
  entry    INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child    TEXT NOT NULL,
  one_day  INTEGER NOT NULL CHECK (one_day IN (0, 1))
) STRICT;
CREATE TABLE milk_part (
  milk     INTEGER NOT NULL REFERENCES milk (entry) ON DELETE CASCADE,
  position INTEGER NOT NULL,
  food     INTEGER NOT NULL REFERENCES food (id),
  breast   INTEGER NOT NULL CHECK (breast IN (0, 1)),
  grams    REAL CHECK (grams > 0),
  feeds    INTEGER CHECK (feeds > 0),
  PRIMARY KEY (milk, position)
) STRICT, WITHOUT ROWID;
CREATE TABLE note (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  topic TEXT NOT NULL,
  words TEXT NOT NULL
) STRICT;
INSERT INTO "note" VALUES(4,'Wren','other','slept well');
CREATE TABLE planned (
  entry INTEGER NOT NULL REFERENCES entry (id) ON DELETE CASCADE,
  day   TEXT NOT NULL,
  child TEXT NOT NULL,
  meal  TEXT NOT NULL,
  PRIMARY KEY (entry, day, child, meal)
) STRICT, WITHOUT ROWID;
INSERT INTO "planned" VALUES(5,'2026-10-09','Wren','lunch');
CREATE TABLE planned_part (
  entry    INTEGER NOT NULL,
  day      TEXT NOT NULL,
  child    TEXT NOT NULL,
  meal     TEXT NOT NULL,
  position INTEGER NOT NULL,
  what     TEXT NOT NULL,
  cubes    INTEGER CHECK (cubes > 0),
  grams    REAL CHECK (grams > 0),
  trays    INTEGER CHECK (trays > 0), halved INTEGER NOT NULL DEFAULT 0 CHECK (halved >= 0),
  PRIMARY KEY (entry, day, child, meal, position),
  FOREIGN KEY (entry, day, child, meal) REFERENCES planned ON DELETE CASCADE
) STRICT, WITHOUT ROWID;
INSERT INTO "planned_part" VALUES(5,'2026-10-09','Wren','lunch',0,'squash',1,NULL,NULL,1);
CREATE TABLE purchase (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  food  TEXT NOT NULL,
  name  TEXT NOT NULL,
  grams REAL NOT NULL CHECK (grams > 0),
  price TEXT NOT NULL,
  store TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE TABLE question (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  words TEXT NOT NULL
) STRICT;
CREATE TABLE reaction (
  entry   INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  feeding INTEGER NOT NULL REFERENCES feeding (entry),
  words   TEXT NOT NULL
) STRICT;
CREATE TABLE rename (
  entry  INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  what   TEXT NOT NULL CHECK (what IN ('child', 'recipe')),
  former TEXT NOT NULL,
  later  TEXT NOT NULL
) STRICT;
CREATE TABLE supplement (
  entry   INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child   TEXT NOT NULL,
  product TEXT NOT NULL,
  number  INTEGER NOT NULL,
  amount  REAL NOT NULL CHECK (amount >= 0),
  one_day INTEGER NOT NULL CHECK (one_day IN (0, 1))
) STRICT;
CREATE TABLE texture (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  stage TEXT NOT NULL CHECK (stage IN ('smooth', 'mashed', 'lumpy', 'chopped', 'family'))
) STRICT;
INSERT INTO "texture" VALUES(3,'Wren','mashed');
CREATE TABLE tick (
  first TEXT NOT NULL,
  what  TEXT NOT NULL,
  PRIMARY KEY (first, what)
) STRICT, WITHOUT ROWID;
CREATE TABLE visit (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  words TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE TABLE whole_day (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL
) STRICT;
CREATE TABLE word (
  typed TEXT PRIMARY KEY,
  food  TEXT NOT NULL
) STRICT;
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
CREATE UNIQUE INDEX entry_key ON entry (key) WHERE key IS NOT NULL;
CREATE INDEX change_target ON change (target);
CREATE INDEX change_undoes ON change (undoes);
CREATE VIEW taken_back AS
  SELECT undoes AS entry, entry AS undo FROM change
  WHERE act = 'undo' AND NOT EXISTS (SELECT 1 FROM change AS redo WHERE redo.undoes = change.entry);
CREATE INDEX reaction_feeding ON reaction (feeding);
CREATE INDEX answer_question ON answer (question);
CREATE INDEX measure_child ON measure (child, what);
CREATE INDEX supplement_child ON supplement (child);
CREATE INDEX whole_day_child ON whole_day (child);
CREATE INDEX texture_child ON texture (child);
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('entry',7);
