-- Cubes of which only half was served; the other half was thawed with it and is gone.
ALTER TABLE feeding_part ADD COLUMN halved INTEGER NOT NULL DEFAULT 0 CHECK (halved >= 0);
ALTER TABLE planned_part ADD COLUMN halved INTEGER NOT NULL DEFAULT 0 CHECK (halved >= 0);
-- How coarse a child's food is from a day on.
CREATE TABLE texture (
  entry INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
  child TEXT NOT NULL,
  stage TEXT NOT NULL CHECK (stage IN ('smooth', 'mashed', 'lumpy', 'chopped', 'family'))
) STRICT;
CREATE INDEX texture_child ON texture (child);
-- Whether somebody counted the cubes of a batch, so that together they hold all of it.
ALTER TABLE batch ADD COLUMN counted INTEGER NOT NULL DEFAULT 0 CHECK (counted IN (0, 1));
-- What is doubtful about a cube as it is served: a cause, and one standard deviation of each nutrient by its number,
-- relative to what is served of it ("303:0.0123", then what stands behind the value). A batch from before this layout has none.
CREATE TABLE batch_doubt (
  batch   INTEGER NOT NULL REFERENCES batch (entry) ON DELETE CASCADE,
  cause   TEXT NOT NULL,
  amounts TEXT NOT NULL,
  PRIMARY KEY (batch, cause)
) STRICT, WITHOUT ROWID;
