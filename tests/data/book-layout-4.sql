-- A record of the fourth layout, written by the version of the program that used it; the household is invented.
PRAGMA foreign_keys = OFF;
PRAGMA application_id = 0x54524159;
PRAGMA user_version = 4;
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
INSERT INTO batch VALUES(1,'squash','Squash','tray',10,28.307300609996012496,'2026-10-31','USDA SR28 (2015), abbreviated',NULL,'',0.0);
CREATE TABLE batch_food (
  batch       INTEGER NOT NULL REFERENCES batch (entry) ON DELETE CASCADE,
  food        TEXT NOT NULL,
  name        TEXT NOT NULL,
  purchased_g REAL NOT NULL CHECK (purchased_g >= 0),
  allergens   TEXT NOT NULL DEFAULT '', edible_g REAL, iron_mg REAL, method TEXT,
  PRIMARY KEY (batch, food)
) STRICT, WITHOUT ROWID;
INSERT INTO batch_food VALUES(1,'11485','Squash, winter, butternut, raw',600.0,'',30.437957645157002416,0.21306570351609899205,'steam');
CREATE TABLE batch_nutrient (
  batch    INTEGER NOT NULL REFERENCES batch (entry) ON DELETE CASCADE,
  number   INTEGER NOT NULL,
  frozen   REAL,
  served   REAL,
  missing  TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (batch, number)
) STRICT, WITHOUT ROWID;
INSERT INTO batch_nutrient VALUES(1,203,0.29524818915802292229,0.29524818915802292229,'');
INSERT INTO batch_nutrient VALUES(1,204,0.030437957645157002334,0.030437957645157002334,'');
INSERT INTO batch_nutrient VALUES(1,205,3.4514513312572874248,3.4514513312572874248,'');
INSERT INTO batch_nutrient VALUES(1,207,0.24350366116125601867,0.24350366116125601867,'');
INSERT INTO batch_nutrient VALUES(1,208,13.286168512111030892,13.286168512111030892,'');
INSERT INTO batch_nutrient VALUES(1,255,24.294877719338479949,24.294877719338479949,'');
INSERT INTO batch_nutrient VALUES(1,269,0.64954601614765050676,0.64954601614765050676,'');
INSERT INTO batch_nutrient VALUES(1,291,0.60875915290313997729,0.60875915290313997729,'');
INSERT INTO batch_nutrient VALUES(1,301,14.610219669675359455,14.610219669675359455,'');
INSERT INTO batch_nutrient VALUES(1,303,0.21306570351609899205,0.21306570351609899205,'');
INSERT INTO batch_nutrient VALUES(1,304,10.348905599353381389,10.348905599353381389,'');
INSERT INTO batch_nutrient VALUES(1,305,10.044526022901809625,10.044526022901809625,'');
INSERT INTO batch_nutrient VALUES(1,306,107.141610910952636,107.141610910952636,'');
INSERT INTO batch_nutrient VALUES(1,307,1.2175183058062799545,1.2175183058062799545,'');
INSERT INTO batch_nutrient VALUES(1,309,0.045656936467735498297,0.045656936467735498297,'');
INSERT INTO batch_nutrient VALUES(1,312,0.021915329504513039737,0.021915329504513039737,'');
INSERT INTO batch_nutrient VALUES(1,315,0.061484674443217146588,0.061484674443217146588,'');
INSERT INTO batch_nutrient VALUES(1,317,0.15218978822578499432,0.15218978822578499432,'');
INSERT INTO batch_nutrient VALUES(1,318,3073.7771527961795072,3073.7771527961795072,'');
INSERT INTO batch_nutrient VALUES(1,319,0.0,0.0,'');
INSERT INTO batch_nutrient VALUES(1,320,153.83343793862349003,153.83343793862349003,'');
INSERT INTO batch_nutrient VALUES(1,321,1221.9926855801181772,1221.9926855801181772,'');
INSERT INTO batch_nutrient VALUES(1,322,241.15993842257890378,241.15993842257890378,'');
INSERT INTO batch_nutrient VALUES(1,323,0.43830659009026079475,0.43830659009026079475,'');
INSERT INTO batch_nutrient VALUES(1,324,0.0,0.0,'');
INSERT INTO batch_nutrient VALUES(1,328,0.0,0.0,'');
INSERT INTO batch_nutrient VALUES(1,334,1003.6764343702295718,1003.6764343702295718,'');
INSERT INTO batch_nutrient VALUES(1,337,0.0,0.0,'');
INSERT INTO batch_nutrient VALUES(1,338,0.0,0.0,'');
INSERT INTO batch_nutrient VALUES(1,401,5.4331754396605242973,4.8898578956944724893,'');
INSERT INTO batch_nutrient VALUES(1,404,0.027394161880641299672,0.026024453786609235556,'');
INSERT INTO batch_nutrient VALUES(1,405,0.0057832119525798300271,0.0057832119525798300271,'');
INSERT INTO batch_nutrient VALUES(1,406,0.34699271715478974265,0.34699271715478974265,'');
INSERT INTO batch_nutrient VALUES(1,410,0.12175183058062800933,0.12175183058062800933,'');
INSERT INTO batch_nutrient VALUES(1,415,0.04218700929618759976,0.04218700929618759976,'');
INSERT INTO batch_nutrient VALUES(1,417,6.9855112795635321276,6.6362357155853555212,'');
INSERT INTO batch_nutrient VALUES(1,418,0.0,0.0,'');
INSERT INTO batch_nutrient VALUES(1,421,NULL,NULL,'11485');
INSERT INTO batch_nutrient VALUES(1,430,0.33481753409672704302,0.33481753409672704302,'');
INSERT INTO batch_nutrient VALUES(1,431,0.0,0.0,'');
INSERT INTO batch_nutrient VALUES(1,432,6.9855112795635321276,6.6362357155853555212,'');
INSERT INTO batch_nutrient VALUES(1,435,6.9855112795635321276,6.6362357155853555212,'');
INSERT INTO batch_nutrient VALUES(1,601,0.0,0.0,'');
INSERT INTO batch_nutrient VALUES(1,606,0.00639197110548297108,0.00639197110548297108,'');
INSERT INTO batch_nutrient VALUES(1,645,0.0021306570351609902154,0.0021306570351609902154,'');
INSERT INTO batch_nutrient VALUES(1,646,0.01278394221096594216,0.01278394221096594216,'');
CREATE TABLE feeding (
  entry    INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child    TEXT NOT NULL,
  how      TEXT NOT NULL CHECK (how IN ('taken', 'some', 'refused')),
  reaction TEXT NOT NULL DEFAULT ''
, meal TEXT NOT NULL DEFAULT '', share REAL CHECK (share BETWEEN 0 AND 1)) STRICT;
INSERT INTO feeding VALUES(2,'Wren','taken','','lunch',NULL);
INSERT INTO feeding VALUES(4,'Wren','some','','supper',NULL);
CREATE TABLE feeding_part (
  feeding INTEGER NOT NULL REFERENCES feeding (entry) ON DELETE CASCADE,
  batch   INTEGER NOT NULL REFERENCES batch (entry),
  cubes   INTEGER NOT NULL CHECK (cubes > 0),
  PRIMARY KEY (feeding, batch)
) STRICT, WITHOUT ROWID;
INSERT INTO feeding_part VALUES(2,1,1);
INSERT INTO feeding_part VALUES(4,1,1);
CREATE TABLE discard (
  entry INTEGER NOT NULL REFERENCES entry (id) ON DELETE CASCADE,
  batch INTEGER NOT NULL REFERENCES batch (entry),
  cubes INTEGER NOT NULL CHECK (cubes > 0),
  why   TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (entry, batch)
) STRICT, WITHOUT ROWID;
CREATE TABLE purchase (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  food  TEXT NOT NULL,
  name  TEXT NOT NULL,
  grams REAL NOT NULL CHECK (grams > 0),
  price TEXT NOT NULL,
  store TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE TABLE IF NOT EXISTS "entry" (
  id   INTEGER PRIMARY KEY AUTOINCREMENT,
  day  TEXT NOT NULL,
  kind TEXT NOT NULL,
  note TEXT NOT NULL DEFAULT ''
, key TEXT, device INTEGER REFERENCES device (id)) STRICT;
INSERT INTO entry VALUES(1,'2026-10-01','batch','',NULL,NULL);
INSERT INTO entry VALUES(2,'2026-10-02','feeding','',NULL,NULL);
INSERT INTO entry VALUES(3,'2026-10-08','change','',NULL,NULL);
INSERT INTO entry VALUES(4,'2026-10-03','feeding','',NULL,NULL);
INSERT INTO entry VALUES(5,'2026-10-04','reaction','',NULL,NULL);
INSERT INTO entry VALUES(6,'2026-10-04','note','',NULL,NULL);
INSERT INTO entry VALUES(7,'2026-10-05','measure','',NULL,NULL);
INSERT INTO entry VALUES(8,'2026-10-01','supplement','',NULL,NULL);
INSERT INTO entry VALUES(9,'2026-10-05','question','',NULL,NULL);
INSERT INTO entry VALUES(11,'2026-10-09','plan','',NULL,NULL);
INSERT INTO entry VALUES(12,'2026-10-08','change','',NULL,NULL);
CREATE TABLE food (
  id        INTEGER PRIMARY KEY,
  food      TEXT NOT NULL,
  name      TEXT NOT NULL,
  dataset   TEXT NOT NULL,
  allergens TEXT NOT NULL DEFAULT ''
) STRICT;
INSERT INTO food VALUES(1,'09003','Apples, raw, with skin','USDA SR28 (2015), abbreviated','');
CREATE TABLE food_nutrient (
  food     INTEGER NOT NULL REFERENCES food (id) ON DELETE CASCADE,
  number   INTEGER NOT NULL,
  per_100g REAL NOT NULL,
  PRIMARY KEY (food, number)
) STRICT, WITHOUT ROWID;
INSERT INTO food_nutrient VALUES(1,203,0.26000000000000000888);
INSERT INTO food_nutrient VALUES(1,204,0.17000000000000001221);
INSERT INTO food_nutrient VALUES(1,205,13.810000000000000497);
INSERT INTO food_nutrient VALUES(1,207,0.19000000000000000222);
INSERT INTO food_nutrient VALUES(1,208,52.0);
INSERT INTO food_nutrient VALUES(1,255,85.560000000000002275);
INSERT INTO food_nutrient VALUES(1,269,10.390000000000000568);
INSERT INTO food_nutrient VALUES(1,291,2.3999999999999999111);
INSERT INTO food_nutrient VALUES(1,301,6.0);
INSERT INTO food_nutrient VALUES(1,303,0.11999999999999999555);
INSERT INTO food_nutrient VALUES(1,304,5.0);
INSERT INTO food_nutrient VALUES(1,305,11.0);
INSERT INTO food_nutrient VALUES(1,306,107.0);
INSERT INTO food_nutrient VALUES(1,307,1.0);
INSERT INTO food_nutrient VALUES(1,309,0.040000000000000000832);
INSERT INTO food_nutrient VALUES(1,312,0.026999999999999999694);
INSERT INTO food_nutrient VALUES(1,315,0.03500000000000000333);
INSERT INTO food_nutrient VALUES(1,317,0.0);
INSERT INTO food_nutrient VALUES(1,318,54.0);
INSERT INTO food_nutrient VALUES(1,319,0.0);
INSERT INTO food_nutrient VALUES(1,320,3.0);
INSERT INTO food_nutrient VALUES(1,321,27.0);
INSERT INTO food_nutrient VALUES(1,322,0.0);
INSERT INTO food_nutrient VALUES(1,323,0.17999999999999999333);
INSERT INTO food_nutrient VALUES(1,324,0.0);
INSERT INTO food_nutrient VALUES(1,328,0.0);
INSERT INTO food_nutrient VALUES(1,334,11.0);
INSERT INTO food_nutrient VALUES(1,337,0.0);
INSERT INTO food_nutrient VALUES(1,338,29.0);
INSERT INTO food_nutrient VALUES(1,401,4.5999999999999996447);
INSERT INTO food_nutrient VALUES(1,404,0.017000000000000001221);
INSERT INTO food_nutrient VALUES(1,405,0.025999999999999998806);
INSERT INTO food_nutrient VALUES(1,406,0.090999999999999997557);
INSERT INTO food_nutrient VALUES(1,410,0.060999999999999998667);
INSERT INTO food_nutrient VALUES(1,415,0.04100000000000000172);
INSERT INTO food_nutrient VALUES(1,417,3.0);
INSERT INTO food_nutrient VALUES(1,418,0.0);
INSERT INTO food_nutrient VALUES(1,421,3.3999999999999999111);
INSERT INTO food_nutrient VALUES(1,430,2.2000000000000001776);
INSERT INTO food_nutrient VALUES(1,431,0.0);
INSERT INTO food_nutrient VALUES(1,432,3.0);
INSERT INTO food_nutrient VALUES(1,435,3.0);
INSERT INTO food_nutrient VALUES(1,601,0.0);
INSERT INTO food_nutrient VALUES(1,606,0.028000000000000000582);
INSERT INTO food_nutrient VALUES(1,645,0.0070000000000000001457);
INSERT INTO food_nutrient VALUES(1,646,0.050999999999999996724);
CREATE TABLE feeding_food (
  feeding INTEGER NOT NULL REFERENCES feeding (entry) ON DELETE CASCADE,
  food    INTEGER NOT NULL REFERENCES food (id),
  grams   REAL NOT NULL CHECK (grams > 0),
  PRIMARY KEY (feeding, food)
) STRICT, WITHOUT ROWID;
INSERT INTO feeding_food VALUES(4,1,20.0);
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
CREATE TABLE planned (
  entry INTEGER NOT NULL REFERENCES entry (id) ON DELETE CASCADE,
  day   TEXT NOT NULL,
  child TEXT NOT NULL,
  meal  TEXT NOT NULL,
  PRIMARY KEY (entry, day, child, meal)
) STRICT, WITHOUT ROWID;
INSERT INTO planned VALUES(11,'2026-10-09','Wren','lunch');
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
INSERT INTO planned_part VALUES(11,'2026-10-09','Wren','lunch',0,'squash',2,NULL,NULL);
CREATE TABLE question (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  words TEXT NOT NULL
) STRICT;
INSERT INTO question VALUES(9,'Wren','Is it enough?');
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
CREATE TABLE change (
  entry  INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  target INTEGER NOT NULL,
  act    TEXT NOT NULL CHECK (act IN ('correction', 'undo', 'redo')),
  undoes INTEGER CHECK ((undoes IS NULL) = (act = 'correction')),
  former TEXT CHECK (json_valid(former)),
  later  TEXT CHECK (json_valid(later))
) STRICT;
INSERT INTO change VALUES(3,2,'correction',NULL,'{"entry":[{"day":"2026-10-02","device":null,"id":2,"key":null,"kind":"feeding","note":""}],"feeding":[{"child":"Wren","entry":2,"how":"taken","meal":"lunch","reaction":"","share":null}],"feeding_food":[],"feeding_part":[{"batch":1,"cubes":2,"feeding":2}]}','{"entry":[{"day":"2026-10-02","device":null,"id":2,"key":null,"kind":"feeding","note":""}],"feeding":[{"child":"Wren","entry":2,"how":"taken","meal":"lunch","reaction":"","share":null}],"feeding_food":[],"feeding_part":[{"batch":1,"cubes":1,"feeding":2}]}');
INSERT INTO change VALUES(12,10,'undo',10,'{"discard":[{"batch":1,"cubes":1,"entry":10,"why":"fell"}],"entry":[{"day":"2026-10-06","device":null,"id":10,"key":null,"kind":"discard","note":""}]}',NULL);
CREATE TABLE reaction (
  entry   INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  feeding INTEGER NOT NULL REFERENCES feeding (entry),
  words   TEXT NOT NULL
) STRICT;
INSERT INTO reaction VALUES(5,4,'a rash');
CREATE TABLE answer (
  entry    INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  question INTEGER NOT NULL REFERENCES question (entry),
  words    TEXT NOT NULL
) STRICT;
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
INSERT INTO measure VALUES(7,'Wren','weight',8000.0);
CREATE TABLE supplement (
  entry   INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child   TEXT NOT NULL,
  product TEXT NOT NULL,
  number  INTEGER NOT NULL,
  amount  REAL NOT NULL CHECK (amount >= 0),
  one_day INTEGER NOT NULL CHECK (one_day IN (0, 1))
) STRICT;
INSERT INTO supplement VALUES(8,'Wren','vitamin D drops',328,10.0,0);
CREATE TABLE note (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  topic TEXT NOT NULL,
  words TEXT NOT NULL
) STRICT;
INSERT INTO note VALUES(6,'Wren','sleep','slept badly');
CREATE TABLE whole_day (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL
) STRICT;
CREATE TABLE visit (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  words TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE TABLE rename (
  entry  INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  what   TEXT NOT NULL CHECK (what IN ('child', 'recipe')),
  former TEXT NOT NULL,
  later  TEXT NOT NULL
) STRICT;
CREATE TABLE tick (
  first TEXT NOT NULL,
  what  TEXT NOT NULL,
  PRIMARY KEY (first, what)
) STRICT, WITHOUT ROWID;
CREATE TABLE word (
  typed TEXT PRIMARY KEY,
  food  TEXT NOT NULL
) STRICT;
CREATE TABLE failed_command (
  words TEXT NOT NULL
) STRICT;
DELETE FROM sqlite_sequence;
INSERT INTO sqlite_sequence VALUES('entry',12);
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
