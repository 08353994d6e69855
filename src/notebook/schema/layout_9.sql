-- The currency in which a price was paid. Where it is empty nobody knows it, and the price is taken to be in the money of the
-- book, which is then written down: a purchase from before this layout.
ALTER TABLE purchase ADD COLUMN currency TEXT NOT NULL DEFAULT '';
-- The typed words for a food, which may say what its entry does not: ground almonds, a strawberry yogurt. The words of a batch or a
-- meal that has a food more than once stand apart by "|". Empty where the food was named by its id, and before this layout.
ALTER TABLE batch_food ADD COLUMN typed TEXT NOT NULL DEFAULT '';
ALTER TABLE feeding_food ADD COLUMN typed TEXT NOT NULL DEFAULT '';
ALTER TABLE planned_part ADD COLUMN typed TEXT NOT NULL DEFAULT '';
