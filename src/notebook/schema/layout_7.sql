-- What the whole batch weighed and what a cube that fills its well weighs, so that cubes that are counted again are as heavy as
-- if they had been counted so at once. A batch from before this layout has neither.
ALTER TABLE batch ADD COLUMN puree_g REAL CHECK (puree_g > 0);
ALTER TABLE batch ADD COLUMN full_g REAL CHECK (full_g > 0);
-- The doubts of a cube where the cubes of the batch were counted; "amounts" are those where they were not. A batch from before
-- this layout has one of the two, in "amounts".
ALTER TABLE batch_doubt ADD COLUMN when_counted TEXT NOT NULL DEFAULT '';
