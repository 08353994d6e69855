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
