-- A record of the fifth layout, written by the version of the program that used it; the household is invented.
PRAGMA foreign_keys = OFF;
PRAGMA application_id = 0x54524159;
PRAGMA user_version = 5;
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
INSERT INTO batch VALUES(1,'squash','Squash','tray',17,27.57176470588235162,'2026-10-31','USDA SR28 (2015)',NULL,'',0.0,1);
CREATE TABLE batch_food (
  batch       INTEGER NOT NULL REFERENCES batch (entry) ON DELETE CASCADE,
  food        TEXT NOT NULL,
  name        TEXT NOT NULL,
  purchased_g REAL NOT NULL CHECK (purchased_g >= 0),
  allergens   TEXT NOT NULL DEFAULT '', edible_g REAL, iron_mg REAL, method TEXT,
  PRIMARY KEY (batch, food)
) STRICT, WITHOUT ROWID;
INSERT INTO batch_food VALUES(1,'11485','Squash, winter, butternut, raw',600.0,'',29.647058823529413018,0.20752941176470585116,'steam');
CREATE TABLE batch_nutrient (
  batch    INTEGER NOT NULL REFERENCES batch (entry) ON DELETE CASCADE,
  number   INTEGER NOT NULL,
  frozen   REAL,
  served   REAL,
  missing  TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (batch, number)
) STRICT, WITHOUT ROWID;
INSERT INTO batch_nutrient VALUES(1,203,0.28757647058823526675,0.28757647058823526675,'');
INSERT INTO batch_nutrient VALUES(1,204,0.0296470588235294083,0.0296470588235294083,'');
INSERT INTO batch_nutrient VALUES(1,205,3.3617689411764701823,3.3617689411764701823,'');
INSERT INTO batch_nutrient VALUES(1,207,0.2371764705882352664,0.2371764705882352664,'');
INSERT INTO batch_nutrient VALUES(1,208,12.940941176470587947,12.940941176470587947,'');
INSERT INTO batch_nutrient VALUES(1,255,23.663600470588232126,23.663600470588232126,'');
INSERT INTO batch_nutrient VALUES(1,269,0.63266823529411775339,0.63266823529411775339,'');
INSERT INTO batch_nutrient VALUES(1,291,0.59294117647058819375,0.59294117647058819375,'');
INSERT INTO batch_nutrient VALUES(1,301,14.230588235294115762,14.230588235294115762,'');
INSERT INTO batch_nutrient VALUES(1,303,0.2075294117647058234,0.2075294117647058234,'');
INSERT INTO batch_nutrient VALUES(1,304,10.080000000000000071,10.080000000000000071,'');
INSERT INTO batch_nutrient VALUES(1,305,9.7835294117647038092,9.7835294117647038092,'');
INSERT INTO batch_nutrient VALUES(1,306,104.35764705882351676,104.35764705882351676,'');
INSERT INTO batch_nutrient VALUES(1,307,1.1858823529411763875,1.1858823529411763875,'');
INSERT INTO batch_nutrient VALUES(1,309,0.04447058823529410898,0.04447058823529410898,'');
INSERT INTO batch_nutrient VALUES(1,312,0.021345882352941172865,0.021345882352941172865,'');
INSERT INTO batch_nutrient VALUES(1,315,0.059887058823529411288,0.059887058823529411288,'');
INSERT INTO batch_nutrient VALUES(1,317,0.14823529411764704843,0.14823529411764704843,'');
INSERT INTO batch_nutrient VALUES(1,318,2993.9082352941172758,2993.9082352941172758,'');
INSERT INTO batch_nutrient VALUES(1,319,0.0,0.0,'');
INSERT INTO batch_nutrient VALUES(1,320,149.83623529411764251,149.83623529411764251,'');
INSERT INTO batch_nutrient VALUES(1,321,1190.2404705882352117,1190.2404705882352117,'');
INSERT INTO batch_nutrient VALUES(1,322,234.8936470588234897,234.8936470588234897,'');
INSERT INTO batch_nutrient VALUES(1,323,0.42691764705882351282,0.42691764705882351282,'');
INSERT INTO batch_nutrient VALUES(1,324,0.0,0.0,'');
INSERT INTO batch_nutrient VALUES(1,328,0.0,0.0,'');
INSERT INTO batch_nutrient VALUES(1,334,977.59694117647063646,977.59694117647063646,'');
INSERT INTO batch_nutrient VALUES(1,337,0.0,0.0,'');
INSERT INTO batch_nutrient VALUES(1,338,0.0,0.0,'');
INSERT INTO batch_nutrient VALUES(1,401,5.291999999999998927,4.7627999999999994784,'');
INSERT INTO batch_nutrient VALUES(1,404,0.026682352941176469551,0.025348235294117643645,'');
INSERT INTO batch_nutrient VALUES(1,405,0.0056329411764705870913,0.0056329411764705870913,'');
INSERT INTO batch_nutrient VALUES(1,406,0.3379764705882352116,0.3379764705882352116,'');
INSERT INTO batch_nutrient VALUES(1,410,0.1185882352941176332,0.1185882352941176332,'');
INSERT INTO batch_nutrient VALUES(1,415,0.041090823529411762971,0.041090823529411762971,'');
INSERT INTO batch_nutrient VALUES(1,417,6.80400000000000027,6.46379999999999999,'');
INSERT INTO batch_nutrient VALUES(1,418,0.0,0.0,'');
INSERT INTO batch_nutrient VALUES(1,421,NULL,NULL,'11485');
INSERT INTO batch_nutrient VALUES(1,430,0.32611764705882351211,0.32611764705882351211,'');
INSERT INTO batch_nutrient VALUES(1,431,0.0,0.0,'');
INSERT INTO batch_nutrient VALUES(1,432,6.80400000000000027,6.46379999999999999,'');
INSERT INTO batch_nutrient VALUES(1,435,6.80400000000000027,6.46379999999999999,'');
INSERT INTO batch_nutrient VALUES(1,601,0.0,0.0,'');
INSERT INTO batch_nutrient VALUES(1,606,0.006225882352941177443,0.006225882352941177443,'');
INSERT INTO batch_nutrient VALUES(1,645,0.0020752941176470588585,0.0020752941176470588585,'');
INSERT INTO batch_nutrient VALUES(1,646,0.012451764705882354886,0.012451764705882354886,'');
CREATE TABLE feeding (
  entry    INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child    TEXT NOT NULL,
  how      TEXT NOT NULL CHECK (how IN ('taken', 'some', 'refused')),
  reaction TEXT NOT NULL DEFAULT ''
, meal TEXT NOT NULL DEFAULT '', share REAL CHECK (share BETWEEN 0 AND 1)) STRICT;
INSERT INTO feeding VALUES(2,'Wren','taken','','lunch',NULL);
CREATE TABLE feeding_part (
  feeding INTEGER NOT NULL REFERENCES feeding (entry) ON DELETE CASCADE,
  batch   INTEGER NOT NULL REFERENCES batch (entry),
  cubes   INTEGER NOT NULL CHECK (cubes > 0), halved INTEGER NOT NULL DEFAULT 0 CHECK (halved >= 0),
  PRIMARY KEY (feeding, batch)
) STRICT, WITHOUT ROWID;
INSERT INTO feeding_part VALUES(2,1,2,0);
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
INSERT INTO entry VALUES(2,'2026-10-05','feeding','',NULL,NULL);
INSERT INTO entry VALUES(3,'2026-10-10','change','',NULL,NULL);
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
CREATE TABLE feeding_food (
  feeding INTEGER NOT NULL REFERENCES feeding (entry) ON DELETE CASCADE,
  food    INTEGER NOT NULL REFERENCES food (id),
  grams   REAL NOT NULL CHECK (grams > 0),
  PRIMARY KEY (feeding, food)
) STRICT, WITHOUT ROWID;
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
CREATE TABLE question (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  words TEXT NOT NULL
) STRICT;
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
INSERT INTO change VALUES(3,1,'correction',NULL,'{"batch":[{"cost":null,"counted":1,"cube_g":26.04,"cubes":18,"dataset":"USDA SR28 (2015)","entry":1,"liquid_g":0.0,"name":"squash","title":"Squash","tray":"tray","unpriced":"","use_by":"2026-10-31"}],"batch_doubt":[{"amounts":"203:2.2599e-1:1 204:5.9230e-1:1 205:1.2809e-1:calculated 207:2.4713e-1:unknown 208:6.5422e-2:calculated 255:2.4884e-2:5 269:2.7490e-1:calculated 291:3.0598e-1:calculated 301:3.7938e-1:1 303:4.8494e-1:1 304:2.6882e-1:1 305:2.5922e-1:1 306:2.7734e-1:2 307:7.4955e-1:1 309:3.3703e-1:unknown 312:4.4676e-1:unknown 315:4.2768e-1:calculated 317:8.7022e-1:calculated 318:5.6821e-1:calculated 319:0.0000e0:calculated 320:5.6829e-1:calculated 321:5.7360e-1:9 322:5.7591e-1:8 323:6.1003e-1:calculated 324:0.0000e0:calculated 328:0.0000e0:calculated 334:8.0696e-1:calculated 337:0.0000e0:calculated 338:0.0000e0:calculated 401:8.9582e-1:1 404:6.5503e-1:1 405:8.0954e-1:1 406:4.4366e-1:1 410:6.0267e-1:unknown 415:5.1730e-1:unknown 417:4.7099e-1:3 418:0.0000e0:calculated 430:8.0736e-1:1 431:0.0000e0:calculated 432:5.6742e-1:3 435:5.6730e-1:calculated 601:0.0000e0:calculated 606:5.8165e-1:unknown 645:5.9230e-1:unknown 646:6.0690e-1:unknown","batch":1,"cause":"database 11485"},{"amounts":"203:0.0000e0:calculated 204:0.0000e0:calculated 205:0.0000e0:calculated 207:0.0000e0:calculated 208:0.0000e0:calculated 269:0.0000e0:calculated 291:0.0000e0:calculated 301:0.0000e0:287 303:0.0000e0:287 304:0.0000e0:287 305:0.0000e0:287 306:0.0000e0:287 307:0.0000e0:287 309:0.0000e0:287 312:0.0000e0:287 315:0.0000e0:287 317:0.0000e0:calculated 318:0.0000e0:calculated 319:0.0000e0:calculated 320:0.0000e0:calculated 321:0.0000e0:calculated 322:0.0000e0:calculated 323:0.0000e0:calculated 324:0.0000e0:calculated 328:0.0000e0:calculated 334:0.0000e0:calculated 337:0.0000e0:calculated 338:0.0000e0:calculated 401:0.0000e0:calculated 404:0.0000e0:calculated 405:0.0000e0:calculated 406:0.0000e0:calculated 410:0.0000e0:calculated 415:0.0000e0:calculated 417:0.0000e0:calculated 418:0.0000e0:calculated 421:0.0000e0:calculated 430:0.0000e0:calculated 431:0.0000e0:calculated 432:0.0000e0:calculated 435:0.0000e0:calculated 601:0.0000e0:calculated 606:0.0000e0:calculated 645:0.0000e0:calculated 646:0.0000e0:calculated","batch":1,"cause":"database 14411"},{"amounts":"203:0.0000e0 204:0.0000e0 205:0.0000e0 207:0.0000e0 208:0.0000e0 255:0.0000e0 269:0.0000e0 291:0.0000e0 301:0.0000e0 303:0.0000e0 304:0.0000e0 305:0.0000e0 306:0.0000e0 307:0.0000e0 309:0.0000e0 312:0.0000e0 315:0.0000e0 317:0.0000e0 318:1.0000e0 319:0.0000e0 320:1.0000e0 321:1.0000e0 322:0.0000e0 323:0.0000e0 324:0.0000e0 328:0.0000e0 334:0.0000e0 337:0.0000e0 338:0.0000e0 401:0.0000e0 404:0.0000e0 405:0.0000e0 406:0.0000e0 410:0.0000e0 415:0.0000e0 417:0.0000e0 418:0.0000e0 421:0.0000e0 430:0.0000e0 431:0.0000e0 432:0.0000e0 435:0.0000e0 601:0.0000e0 606:0.0000e0 645:0.0000e0 646:0.0000e0","batch":1,"cause":"faint"},{"amounts":"203:1.3900e-1 204:3.9300e-1 205:1.7900e-1 207:1.5500e-1 208:1.3000e-1 255:2.7422e-2 269:1.5800e-1 291:1.2100e-1 301:2.3900e-1 303:3.0300e-1 304:1.5300e-1 305:1.4500e-1 306:1.6000e-1 307:3.8300e-1 309:2.0700e-1 312:2.7400e-1 315:2.3800e-1 317:4.9266e-1 318:8.2288e-1 320:8.2283e-1 321:8.1913e-1 322:8.1751e-1 323:1.8100e-1 334:4.0500e-1 401:3.3600e-1 404:2.4400e-1 405:2.0900e-1 406:1.8700e-1 410:1.6900e-1 415:1.7500e-1 417:2.4082e-1 430:2.0500e-1 432:2.4165e-1 435:2.4082e-1 606:3.9300e-1 645:3.9300e-1 646:3.9300e-1","batch":1,"cause":"lot 11485"},{"amounts":"","batch":1,"cause":"lot 14411"},{"amounts":"203:3.3333e-3 204:3.3333e-3 205:3.3333e-3 207:3.3333e-3 208:3.3333e-3 255:3.3333e-3 269:3.3333e-3 291:3.3333e-3 301:3.3333e-3 303:3.3333e-3 304:3.3333e-3 305:3.3333e-3 306:3.3333e-3 307:3.3333e-3 309:3.3333e-3 312:3.3333e-3 315:3.3333e-3 317:3.3333e-3 318:3.3333e-3 320:3.3333e-3 321:3.3333e-3 322:3.3333e-3 323:3.3333e-3 334:3.3333e-3 401:3.3333e-3 404:3.3333e-3 405:3.3333e-3 406:3.3333e-3 410:3.3333e-3 415:3.3333e-3 417:3.3333e-3 430:3.3333e-3 432:3.3333e-3 435:3.3333e-3 606:3.3333e-3 645:3.3333e-3 646:3.3333e-3","batch":1,"cause":"mass 11485 0"},{"amounts":"203:2.8571e-2 204:2.8571e-2 205:2.8571e-2 207:2.8571e-2 208:2.8571e-2 255:2.8571e-2 269:2.8571e-2 291:2.8571e-2 301:2.8571e-2 303:2.8571e-2 304:2.8571e-2 305:2.8571e-2 306:2.8571e-2 307:2.8571e-2 309:2.8571e-2 312:2.8571e-2 315:2.8571e-2 317:2.8571e-2 318:2.8571e-2 320:2.8571e-2 321:2.8571e-2 322:2.8571e-2 323:2.8571e-2 334:2.8571e-2 401:2.8571e-2 404:2.8571e-2 405:2.8571e-2 406:2.8571e-2 410:2.8571e-2 415:2.8571e-2 417:2.8571e-2 430:2.8571e-2 432:2.8571e-2 435:2.8571e-2 606:2.8571e-2 645:2.8571e-2 646:2.8571e-2","batch":1,"cause":"refuse 11485"},{"amounts":"203:5.0000e-2 204:5.0000e-2 205:5.0000e-2 207:5.0000e-2 208:5.0000e-2 269:5.0000e-2 291:5.0000e-2 301:7.1466e-2 303:7.1466e-2 304:7.1466e-2 305:7.1466e-2 306:7.1466e-2 307:7.1466e-2 309:7.1466e-2 312:7.1466e-2 315:1.2000e-1 317:1.2000e-1 318:1.2722e-1 320:1.2722e-1 321:1.2722e-1 322:1.2722e-1 323:2.0000e-1 334:1.2722e-1 401:1.4219e-1 404:1.3429e-1 405:1.2722e-1 406:1.2722e-1 410:2.0000e-1 415:1.3429e-1 417:1.4219e-1 430:2.0000e-1 432:1.4219e-1 435:1.4219e-1 606:5.0000e-2 645:5.0000e-2 646:5.0000e-2","batch":1,"cause":"retention 11485 3784"},{"amounts":"301:1.4400e-2 303:1.4400e-2 304:1.4400e-2 305:1.4400e-2 306:1.4400e-2 307:1.4400e-2 309:1.4400e-2 312:1.4400e-2 318:1.4400e-2 320:1.4400e-2 321:1.4400e-2 322:1.4400e-2 334:1.4400e-2 401:1.6000e-2 404:1.5158e-2 405:1.4400e-2 406:1.4400e-2 415:1.4400e-2 417:1.5158e-2 432:1.5158e-2 435:1.5158e-2","batch":1,"cause":"retention 11485 3788"},{"amounts":"255:2.3303e-1","batch":1,"cause":"yield 11485 steam estimate"}],"batch_food":[{"allergens":"","batch":1,"edible_g":28.0,"food":"11485","iron_mg":0.19599999999999998,"method":"steam","name":"Squash, winter, butternut, raw","purchased_g":600.0}],"batch_nutrient":[{"batch":1,"frozen":0.27159999999999995,"missing":"","number":203,"served":0.27159999999999995},{"batch":1,"frozen":0.027999999999999997,"missing":"","number":204,"served":0.027999999999999997},{"batch":1,"frozen":3.1750039999999995,"missing":"","number":205,"served":3.1750039999999995},{"batch":1,"frozen":0.22399999999999998,"missing":"","number":207,"served":0.22399999999999998},{"batch":1,"frozen":12.222,"missing":"","number":208,"served":12.222},{"batch":1,"frozen":22.348955999999998,"missing":"","number":255,"served":22.348955999999998},{"batch":1,"frozen":0.59752,"missing":"","number":269,"served":0.59752},{"batch":1,"frozen":0.5599999999999999,"missing":"","number":291,"served":0.5599999999999999},{"batch":1,"frozen":13.439999999999998,"missing":"","number":301,"served":13.439999999999998},{"batch":1,"frozen":0.19599999999999995,"missing":"","number":303,"served":0.19599999999999995},{"batch":1,"frozen":9.52,"missing":"","number":304,"served":9.52},{"batch":1,"frozen":9.239999999999998,"missing":"","number":305,"served":9.239999999999998},{"batch":1,"frozen":98.55999999999999,"missing":"","number":306,"served":98.55999999999999},{"batch":1,"frozen":1.1199999999999999,"missing":"","number":307,"served":1.1199999999999999},{"batch":1,"frozen":0.04199999999999999,"missing":"","number":309,"served":0.04199999999999999},{"batch":1,"frozen":0.020159999999999997,"missing":"","number":312,"served":0.020159999999999997},{"batch":1,"frozen":0.05656,"missing":"","number":315,"served":0.05656},{"batch":1,"frozen":0.13999999999999999,"missing":"","number":317,"served":0.13999999999999999},{"batch":1,"frozen":2827.5799999999995,"missing":"","number":318,"served":2827.5799999999995},{"batch":1,"frozen":0.0,"missing":"","number":319,"served":0.0},{"batch":1,"frozen":141.512,"missing":"","number":320,"served":141.512},{"batch":1,"frozen":1124.116,"missing":"","number":321,"served":1124.116},{"batch":1,"frozen":221.84399999999997,"missing":"","number":322,"served":221.84399999999997},{"batch":1,"frozen":0.4032,"missing":"","number":323,"served":0.4032},{"batch":1,"frozen":0.0,"missing":"","number":324,"served":0.0},{"batch":1,"frozen":0.0,"missing":"","number":328,"served":0.0},{"batch":1,"frozen":923.2860000000001,"missing":"","number":334,"served":923.2860000000001},{"batch":1,"frozen":0.0,"missing":"","number":337,"served":0.0},{"batch":1,"frozen":0.0,"missing":"","number":338,"served":0.0},{"batch":1,"frozen":4.997999999999999,"missing":"","number":401,"served":4.4982},{"batch":1,"frozen":0.0252,"missing":"","number":404,"served":0.023939999999999996},{"batch":1,"frozen":0.005319999999999999,"missing":"","number":405,"served":0.005319999999999999},{"batch":1,"frozen":0.31919999999999993,"missing":"","number":406,"served":0.31919999999999993},{"batch":1,"frozen":0.11199999999999999,"missing":"","number":410,"served":0.11199999999999999},{"batch":1,"frozen":0.038807999999999995,"missing":"","number":415,"served":0.038807999999999995},{"batch":1,"frozen":6.426,"missing":"","number":417,"served":6.1047},{"batch":1,"frozen":0.0,"missing":"","number":418,"served":0.0},{"batch":1,"frozen":null,"missing":"11485","number":421,"served":null},{"batch":1,"frozen":0.308,"missing":"","number":430,"served":0.308},{"batch":1,"frozen":0.0,"missing":"","number":431,"served":0.0},{"batch":1,"frozen":6.426,"missing":"","number":432,"served":6.1047},{"batch":1,"frozen":6.426,"missing":"","number":435,"served":6.1047},{"batch":1,"frozen":0.0,"missing":"","number":601,"served":0.0},{"batch":1,"frozen":0.005880000000000001,"missing":"","number":606,"served":0.005880000000000001},{"batch":1,"frozen":0.00196,"missing":"","number":645,"served":0.00196},{"batch":1,"frozen":0.011760000000000001,"missing":"","number":646,"served":0.011760000000000001}],"entry":[{"day":"2026-10-01","device":null,"id":1,"key":null,"kind":"batch","note":""}]}','{"batch":[{"cost":null,"counted":1,"cube_g":27.57176470588235,"cubes":17,"dataset":"USDA SR28 (2015)","entry":1,"liquid_g":0.0,"name":"squash","title":"Squash","tray":"tray","unpriced":"","use_by":"2026-10-31"}],"batch_doubt":[{"amounts":"203:2.2599e-1:1 204:5.9230e-1:1 205:1.2809e-1:calculated 207:2.4713e-1:unknown 208:6.5422e-2:calculated 255:2.4884e-2:5 269:2.7490e-1:calculated 291:3.0598e-1:calculated 301:3.7938e-1:1 303:4.8494e-1:1 304:2.6882e-1:1 305:2.5922e-1:1 306:2.7734e-1:2 307:7.4955e-1:1 309:3.3703e-1:unknown 312:4.4676e-1:unknown 315:4.2768e-1:calculated 317:8.7022e-1:calculated 318:5.6821e-1:calculated 319:0.0000e0:calculated 320:5.6829e-1:calculated 321:5.7360e-1:9 322:5.7591e-1:8 323:6.1003e-1:calculated 324:0.0000e0:calculated 328:0.0000e0:calculated 334:8.0696e-1:calculated 337:0.0000e0:calculated 338:0.0000e0:calculated 401:8.9582e-1:1 404:6.5503e-1:1 405:8.0954e-1:1 406:4.4366e-1:1 410:6.0267e-1:unknown 415:5.1730e-1:unknown 417:4.7099e-1:3 418:0.0000e0:calculated 430:8.0736e-1:1 431:0.0000e0:calculated 432:5.6742e-1:3 435:5.6730e-1:calculated 601:0.0000e0:calculated 606:5.8165e-1:unknown 645:5.9230e-1:unknown 646:6.0690e-1:unknown","batch":1,"cause":"database 11485"},{"amounts":"203:0.0000e0:calculated 204:0.0000e0:calculated 205:0.0000e0:calculated 207:0.0000e0:calculated 208:0.0000e0:calculated 269:0.0000e0:calculated 291:0.0000e0:calculated 301:0.0000e0:287 303:0.0000e0:287 304:0.0000e0:287 305:0.0000e0:287 306:0.0000e0:287 307:0.0000e0:287 309:0.0000e0:287 312:0.0000e0:287 315:0.0000e0:287 317:0.0000e0:calculated 318:0.0000e0:calculated 319:0.0000e0:calculated 320:0.0000e0:calculated 321:0.0000e0:calculated 322:0.0000e0:calculated 323:0.0000e0:calculated 324:0.0000e0:calculated 328:0.0000e0:calculated 334:0.0000e0:calculated 337:0.0000e0:calculated 338:0.0000e0:calculated 401:0.0000e0:calculated 404:0.0000e0:calculated 405:0.0000e0:calculated 406:0.0000e0:calculated 410:0.0000e0:calculated 415:0.0000e0:calculated 417:0.0000e0:calculated 418:0.0000e0:calculated 421:0.0000e0:calculated 430:0.0000e0:calculated 431:0.0000e0:calculated 432:0.0000e0:calculated 435:0.0000e0:calculated 601:0.0000e0:calculated 606:0.0000e0:calculated 645:0.0000e0:calculated 646:0.0000e0:calculated","batch":1,"cause":"database 14411"},{"amounts":"203:0.0000e0 204:0.0000e0 205:0.0000e0 207:0.0000e0 208:0.0000e0 255:0.0000e0 269:0.0000e0 291:0.0000e0 301:0.0000e0 303:0.0000e0 304:0.0000e0 305:0.0000e0 306:0.0000e0 307:0.0000e0 309:0.0000e0 312:0.0000e0 315:0.0000e0 317:0.0000e0 318:1.0000e0 319:0.0000e0 320:1.0000e0 321:1.0000e0 322:0.0000e0 323:0.0000e0 324:0.0000e0 328:0.0000e0 334:0.0000e0 337:0.0000e0 338:0.0000e0 401:0.0000e0 404:0.0000e0 405:0.0000e0 406:0.0000e0 410:0.0000e0 415:0.0000e0 417:0.0000e0 418:0.0000e0 421:0.0000e0 430:0.0000e0 431:0.0000e0 432:0.0000e0 435:0.0000e0 601:0.0000e0 606:0.0000e0 645:0.0000e0 646:0.0000e0","batch":1,"cause":"faint"},{"amounts":"203:1.3900e-1 204:3.9300e-1 205:1.7900e-1 207:1.5500e-1 208:1.3000e-1 255:2.7422e-2 269:1.5800e-1 291:1.2100e-1 301:2.3900e-1 303:3.0300e-1 304:1.5300e-1 305:1.4500e-1 306:1.6000e-1 307:3.8300e-1 309:2.0700e-1 312:2.7400e-1 315:2.3800e-1 317:4.9266e-1 318:8.2288e-1 320:8.2283e-1 321:8.1913e-1 322:8.1751e-1 323:1.8100e-1 334:4.0500e-1 401:3.3600e-1 404:2.4400e-1 405:2.0900e-1 406:1.8700e-1 410:1.6900e-1 415:1.7500e-1 417:2.4082e-1 430:2.0500e-1 432:2.4165e-1 435:2.4082e-1 606:3.9300e-1 645:3.9300e-1 646:3.9300e-1","batch":1,"cause":"lot 11485"},{"amounts":"","batch":1,"cause":"lot 14411"},{"amounts":"203:3.3333e-3 204:3.3333e-3 205:3.3333e-3 207:3.3333e-3 208:3.3333e-3 255:3.3333e-3 269:3.3333e-3 291:3.3333e-3 301:3.3333e-3 303:3.3333e-3 304:3.3333e-3 305:3.3333e-3 306:3.3333e-3 307:3.3333e-3 309:3.3333e-3 312:3.3333e-3 315:3.3333e-3 317:3.3333e-3 318:3.3333e-3 320:3.3333e-3 321:3.3333e-3 322:3.3333e-3 323:3.3333e-3 334:3.3333e-3 401:3.3333e-3 404:3.3333e-3 405:3.3333e-3 406:3.3333e-3 410:3.3333e-3 415:3.3333e-3 417:3.3333e-3 430:3.3333e-3 432:3.3333e-3 435:3.3333e-3 606:3.3333e-3 645:3.3333e-3 646:3.3333e-3","batch":1,"cause":"mass 11485 0"},{"amounts":"203:2.8571e-2 204:2.8571e-2 205:2.8571e-2 207:2.8571e-2 208:2.8571e-2 255:2.8571e-2 269:2.8571e-2 291:2.8571e-2 301:2.8571e-2 303:2.8571e-2 304:2.8571e-2 305:2.8571e-2 306:2.8571e-2 307:2.8571e-2 309:2.8571e-2 312:2.8571e-2 315:2.8571e-2 317:2.8571e-2 318:2.8571e-2 320:2.8571e-2 321:2.8571e-2 322:2.8571e-2 323:2.8571e-2 334:2.8571e-2 401:2.8571e-2 404:2.8571e-2 405:2.8571e-2 406:2.8571e-2 410:2.8571e-2 415:2.8571e-2 417:2.8571e-2 430:2.8571e-2 432:2.8571e-2 435:2.8571e-2 606:2.8571e-2 645:2.8571e-2 646:2.8571e-2","batch":1,"cause":"refuse 11485"},{"amounts":"203:5.0000e-2 204:5.0000e-2 205:5.0000e-2 207:5.0000e-2 208:5.0000e-2 269:5.0000e-2 291:5.0000e-2 301:7.1466e-2 303:7.1466e-2 304:7.1466e-2 305:7.1466e-2 306:7.1466e-2 307:7.1466e-2 309:7.1466e-2 312:7.1466e-2 315:1.2000e-1 317:1.2000e-1 318:1.2722e-1 320:1.2722e-1 321:1.2722e-1 322:1.2722e-1 323:2.0000e-1 334:1.2722e-1 401:1.4219e-1 404:1.3429e-1 405:1.2722e-1 406:1.2722e-1 410:2.0000e-1 415:1.3429e-1 417:1.4219e-1 430:2.0000e-1 432:1.4219e-1 435:1.4219e-1 606:5.0000e-2 645:5.0000e-2 646:5.0000e-2","batch":1,"cause":"retention 11485 3784"},{"amounts":"301:1.4400e-2 303:1.4400e-2 304:1.4400e-2 305:1.4400e-2 306:1.4400e-2 307:1.4400e-2 309:1.4400e-2 312:1.4400e-2 318:1.4400e-2 320:1.4400e-2 321:1.4400e-2 322:1.4400e-2 334:1.4400e-2 401:1.6000e-2 404:1.5158e-2 405:1.4400e-2 406:1.4400e-2 415:1.4400e-2 417:1.5158e-2 432:1.5158e-2 435:1.5158e-2","batch":1,"cause":"retention 11485 3788"},{"amounts":"255:2.3303e-1","batch":1,"cause":"yield 11485 steam estimate"}],"batch_food":[{"allergens":"","batch":1,"edible_g":29.647058823529413,"food":"11485","iron_mg":0.20752941176470585,"method":"steam","name":"Squash, winter, butternut, raw","purchased_g":600.0}],"batch_nutrient":[{"batch":1,"frozen":0.28757647058823527,"missing":"","number":203,"served":0.28757647058823527},{"batch":1,"frozen":0.02964705882352941,"missing":"","number":204,"served":0.02964705882352941},{"batch":1,"frozen":3.36176894117647,"missing":"","number":205,"served":3.36176894117647},{"batch":1,"frozen":0.23717647058823527,"missing":"","number":207,"served":0.23717647058823527},{"batch":1,"frozen":12.940941176470588,"missing":"","number":208,"served":12.940941176470588},{"batch":1,"frozen":23.663600470588232,"missing":"","number":255,"served":23.663600470588232},{"batch":1,"frozen":0.6326682352941178,"missing":"","number":269,"served":0.6326682352941178},{"batch":1,"frozen":0.5929411764705882,"missing":"","number":291,"served":0.5929411764705882},{"batch":1,"frozen":14.230588235294116,"missing":"","number":301,"served":14.230588235294116},{"batch":1,"frozen":0.20752941176470582,"missing":"","number":303,"served":0.20752941176470582},{"batch":1,"frozen":10.08,"missing":"","number":304,"served":10.08},{"batch":1,"frozen":9.783529411764704,"missing":"","number":305,"served":9.783529411764704},{"batch":1,"frozen":104.35764705882352,"missing":"","number":306,"served":104.35764705882352},{"batch":1,"frozen":1.1858823529411764,"missing":"","number":307,"served":1.1858823529411764},{"batch":1,"frozen":0.04447058823529411,"missing":"","number":309,"served":0.04447058823529411},{"batch":1,"frozen":0.021345882352941173,"missing":"","number":312,"served":0.021345882352941173},{"batch":1,"frozen":0.05988705882352941,"missing":"","number":315,"served":0.05988705882352941},{"batch":1,"frozen":0.14823529411764705,"missing":"","number":317,"served":0.14823529411764705},{"batch":1,"frozen":2993.9082352941173,"missing":"","number":318,"served":2993.9082352941173},{"batch":1,"frozen":0.0,"missing":"","number":319,"served":0.0},{"batch":1,"frozen":149.83623529411764,"missing":"","number":320,"served":149.83623529411764},{"batch":1,"frozen":1190.2404705882352,"missing":"","number":321,"served":1190.2404705882352},{"batch":1,"frozen":234.8936470588235,"missing":"","number":322,"served":234.8936470588235},{"batch":1,"frozen":0.4269176470588235,"missing":"","number":323,"served":0.4269176470588235},{"batch":1,"frozen":0.0,"missing":"","number":324,"served":0.0},{"batch":1,"frozen":0.0,"missing":"","number":328,"served":0.0},{"batch":1,"frozen":977.5969411764706,"missing":"","number":334,"served":977.5969411764706},{"batch":1,"frozen":0.0,"missing":"","number":337,"served":0.0},{"batch":1,"frozen":0.0,"missing":"","number":338,"served":0.0},{"batch":1,"frozen":5.291999999999999,"missing":"","number":401,"served":4.7627999999999995},{"batch":1,"frozen":0.02668235294117647,"missing":"","number":404,"served":0.025348235294117644},{"batch":1,"frozen":0.005632941176470587,"missing":"","number":405,"served":0.005632941176470587},{"batch":1,"frozen":0.3379764705882352,"missing":"","number":406,"served":0.3379764705882352},{"batch":1,"frozen":0.11858823529411763,"missing":"","number":410,"served":0.11858823529411763},{"batch":1,"frozen":0.04109082352941176,"missing":"","number":415,"served":0.04109082352941176},{"batch":1,"frozen":6.804,"missing":"","number":417,"served":6.4638},{"batch":1,"frozen":0.0,"missing":"","number":418,"served":0.0},{"batch":1,"frozen":null,"missing":"11485","number":421,"served":null},{"batch":1,"frozen":0.3261176470588235,"missing":"","number":430,"served":0.3261176470588235},{"batch":1,"frozen":0.0,"missing":"","number":431,"served":0.0},{"batch":1,"frozen":6.804,"missing":"","number":432,"served":6.4638},{"batch":1,"frozen":6.804,"missing":"","number":435,"served":6.4638},{"batch":1,"frozen":0.0,"missing":"","number":601,"served":0.0},{"batch":1,"frozen":0.0062258823529411774,"missing":"","number":606,"served":0.0062258823529411774},{"batch":1,"frozen":0.002075294117647059,"missing":"","number":645,"served":0.002075294117647059},{"batch":1,"frozen":0.012451764705882355,"missing":"","number":646,"served":0.012451764705882355}],"entry":[{"day":"2026-10-01","device":null,"id":1,"key":null,"kind":"batch","note":""}]}');
CREATE TABLE reaction (
  entry   INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  feeding INTEGER NOT NULL REFERENCES feeding (entry),
  words   TEXT NOT NULL
) STRICT;
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
CREATE TABLE supplement (
  entry   INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child   TEXT NOT NULL,
  product TEXT NOT NULL,
  number  INTEGER NOT NULL,
  amount  REAL NOT NULL CHECK (amount >= 0),
  one_day INTEGER NOT NULL CHECK (one_day IN (0, 1))
) STRICT;
CREATE TABLE note (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  topic TEXT NOT NULL,
  words TEXT NOT NULL
) STRICT;
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
CREATE TABLE texture (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  stage TEXT NOT NULL CHECK (stage IN ('smooth', 'mashed', 'lumpy', 'chopped', 'family'))
) STRICT;
CREATE TABLE batch_doubt (
  batch   INTEGER NOT NULL REFERENCES batch (entry) ON DELETE CASCADE,
  cause   TEXT NOT NULL,
  amounts TEXT NOT NULL,
  PRIMARY KEY (batch, cause)
) STRICT, WITHOUT ROWID;
INSERT INTO batch_doubt VALUES(1,'database 11485','203:2.2599e-1:1 204:5.9230e-1:1 205:1.2809e-1:calculated 207:2.4713e-1:unknown 208:6.5422e-2:calculated 255:2.4884e-2:5 269:2.7490e-1:calculated 291:3.0598e-1:calculated 301:3.7938e-1:1 303:4.8494e-1:1 304:2.6882e-1:1 305:2.5922e-1:1 306:2.7734e-1:2 307:7.4955e-1:1 309:3.3703e-1:unknown 312:4.4676e-1:unknown 315:4.2768e-1:calculated 317:8.7022e-1:calculated 318:5.6821e-1:calculated 319:0.0000e0:calculated 320:5.6829e-1:calculated 321:5.7360e-1:9 322:5.7591e-1:8 323:6.1003e-1:calculated 324:0.0000e0:calculated 328:0.0000e0:calculated 334:8.0696e-1:calculated 337:0.0000e0:calculated 338:0.0000e0:calculated 401:8.9582e-1:1 404:6.5503e-1:1 405:8.0954e-1:1 406:4.4366e-1:1 410:6.0267e-1:unknown 415:5.1730e-1:unknown 417:4.7099e-1:3 418:0.0000e0:calculated 430:8.0736e-1:1 431:0.0000e0:calculated 432:5.6742e-1:3 435:5.6730e-1:calculated 601:0.0000e0:calculated 606:5.8165e-1:unknown 645:5.9230e-1:unknown 646:6.0690e-1:unknown');
INSERT INTO batch_doubt VALUES(1,'database 14411','203:0.0000e0:calculated 204:0.0000e0:calculated 205:0.0000e0:calculated 207:0.0000e0:calculated 208:0.0000e0:calculated 269:0.0000e0:calculated 291:0.0000e0:calculated 301:0.0000e0:287 303:0.0000e0:287 304:0.0000e0:287 305:0.0000e0:287 306:0.0000e0:287 307:0.0000e0:287 309:0.0000e0:287 312:0.0000e0:287 315:0.0000e0:287 317:0.0000e0:calculated 318:0.0000e0:calculated 319:0.0000e0:calculated 320:0.0000e0:calculated 321:0.0000e0:calculated 322:0.0000e0:calculated 323:0.0000e0:calculated 324:0.0000e0:calculated 328:0.0000e0:calculated 334:0.0000e0:calculated 337:0.0000e0:calculated 338:0.0000e0:calculated 401:0.0000e0:calculated 404:0.0000e0:calculated 405:0.0000e0:calculated 406:0.0000e0:calculated 410:0.0000e0:calculated 415:0.0000e0:calculated 417:0.0000e0:calculated 418:0.0000e0:calculated 421:0.0000e0:calculated 430:0.0000e0:calculated 431:0.0000e0:calculated 432:0.0000e0:calculated 435:0.0000e0:calculated 601:0.0000e0:calculated 606:0.0000e0:calculated 645:0.0000e0:calculated 646:0.0000e0:calculated');
INSERT INTO batch_doubt VALUES(1,'faint','203:0.0000e0 204:0.0000e0 205:0.0000e0 207:0.0000e0 208:0.0000e0 255:0.0000e0 269:0.0000e0 291:0.0000e0 301:0.0000e0 303:0.0000e0 304:0.0000e0 305:0.0000e0 306:0.0000e0 307:0.0000e0 309:0.0000e0 312:0.0000e0 315:0.0000e0 317:0.0000e0 318:1.0000e0 319:0.0000e0 320:1.0000e0 321:1.0000e0 322:0.0000e0 323:0.0000e0 324:0.0000e0 328:0.0000e0 334:0.0000e0 337:0.0000e0 338:0.0000e0 401:0.0000e0 404:0.0000e0 405:0.0000e0 406:0.0000e0 410:0.0000e0 415:0.0000e0 417:0.0000e0 418:0.0000e0 421:0.0000e0 430:0.0000e0 431:0.0000e0 432:0.0000e0 435:0.0000e0 601:0.0000e0 606:0.0000e0 645:0.0000e0 646:0.0000e0');
INSERT INTO batch_doubt VALUES(1,'lot 11485','203:1.3900e-1 204:3.9300e-1 205:1.7900e-1 207:1.5500e-1 208:1.3000e-1 255:2.7422e-2 269:1.5800e-1 291:1.2100e-1 301:2.3900e-1 303:3.0300e-1 304:1.5300e-1 305:1.4500e-1 306:1.6000e-1 307:3.8300e-1 309:2.0700e-1 312:2.7400e-1 315:2.3800e-1 317:4.9266e-1 318:8.2288e-1 320:8.2283e-1 321:8.1913e-1 322:8.1751e-1 323:1.8100e-1 334:4.0500e-1 401:3.3600e-1 404:2.4400e-1 405:2.0900e-1 406:1.8700e-1 410:1.6900e-1 415:1.7500e-1 417:2.4082e-1 430:2.0500e-1 432:2.4165e-1 435:2.4082e-1 606:3.9300e-1 645:3.9300e-1 646:3.9300e-1');
INSERT INTO batch_doubt VALUES(1,'lot 14411','');
INSERT INTO batch_doubt VALUES(1,'mass 11485 0','203:3.3333e-3 204:3.3333e-3 205:3.3333e-3 207:3.3333e-3 208:3.3333e-3 255:3.3333e-3 269:3.3333e-3 291:3.3333e-3 301:3.3333e-3 303:3.3333e-3 304:3.3333e-3 305:3.3333e-3 306:3.3333e-3 307:3.3333e-3 309:3.3333e-3 312:3.3333e-3 315:3.3333e-3 317:3.3333e-3 318:3.3333e-3 320:3.3333e-3 321:3.3333e-3 322:3.3333e-3 323:3.3333e-3 334:3.3333e-3 401:3.3333e-3 404:3.3333e-3 405:3.3333e-3 406:3.3333e-3 410:3.3333e-3 415:3.3333e-3 417:3.3333e-3 430:3.3333e-3 432:3.3333e-3 435:3.3333e-3 606:3.3333e-3 645:3.3333e-3 646:3.3333e-3');
INSERT INTO batch_doubt VALUES(1,'refuse 11485','203:2.8571e-2 204:2.8571e-2 205:2.8571e-2 207:2.8571e-2 208:2.8571e-2 255:2.8571e-2 269:2.8571e-2 291:2.8571e-2 301:2.8571e-2 303:2.8571e-2 304:2.8571e-2 305:2.8571e-2 306:2.8571e-2 307:2.8571e-2 309:2.8571e-2 312:2.8571e-2 315:2.8571e-2 317:2.8571e-2 318:2.8571e-2 320:2.8571e-2 321:2.8571e-2 322:2.8571e-2 323:2.8571e-2 334:2.8571e-2 401:2.8571e-2 404:2.8571e-2 405:2.8571e-2 406:2.8571e-2 410:2.8571e-2 415:2.8571e-2 417:2.8571e-2 430:2.8571e-2 432:2.8571e-2 435:2.8571e-2 606:2.8571e-2 645:2.8571e-2 646:2.8571e-2');
INSERT INTO batch_doubt VALUES(1,'retention 11485 3784','203:5.0000e-2 204:5.0000e-2 205:5.0000e-2 207:5.0000e-2 208:5.0000e-2 269:5.0000e-2 291:5.0000e-2 301:7.1466e-2 303:7.1466e-2 304:7.1466e-2 305:7.1466e-2 306:7.1466e-2 307:7.1466e-2 309:7.1466e-2 312:7.1466e-2 315:1.2000e-1 317:1.2000e-1 318:1.2722e-1 320:1.2722e-1 321:1.2722e-1 322:1.2722e-1 323:2.0000e-1 334:1.2722e-1 401:1.4219e-1 404:1.3429e-1 405:1.2722e-1 406:1.2722e-1 410:2.0000e-1 415:1.3429e-1 417:1.4219e-1 430:2.0000e-1 432:1.4219e-1 435:1.4219e-1 606:5.0000e-2 645:5.0000e-2 646:5.0000e-2');
INSERT INTO batch_doubt VALUES(1,'retention 11485 3788','301:1.4400e-2 303:1.4400e-2 304:1.4400e-2 305:1.4400e-2 306:1.4400e-2 307:1.4400e-2 309:1.4400e-2 312:1.4400e-2 318:1.4400e-2 320:1.4400e-2 321:1.4400e-2 322:1.4400e-2 334:1.4400e-2 401:1.6000e-2 404:1.5158e-2 405:1.4400e-2 406:1.4400e-2 415:1.4400e-2 417:1.5158e-2 432:1.5158e-2 435:1.5158e-2');
INSERT INTO batch_doubt VALUES(1,'yield 11485 steam estimate','255:2.3303e-1');
DELETE FROM sqlite_sequence;
INSERT INTO sqlite_sequence VALUES('entry',3);
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
