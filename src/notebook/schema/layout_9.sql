-- The typed words for a food, which may say what its entry does not: ground almonds, a strawberry yogurt. The words of a batch or a
-- meal that has a food more than once stand apart by "|". Empty where the food was named by its id, and before this layout.
ALTER TABLE batch_food ADD COLUMN typed TEXT NOT NULL DEFAULT '';
ALTER TABLE feeding_food ADD COLUMN typed TEXT NOT NULL DEFAULT '';
ALTER TABLE planned_part ADD COLUMN typed TEXT NOT NULL DEFAULT '';
