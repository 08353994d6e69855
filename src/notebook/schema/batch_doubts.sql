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
