-- What is left of each batch is read from the index alone; every command about the freezer asks for it.
DROP INDEX feeding_part_batch;
CREATE INDEX feeding_part_batch ON feeding_part (batch, cubes);
