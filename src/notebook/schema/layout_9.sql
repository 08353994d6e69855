-- The currency in which a price was paid. Where it is empty nobody knows it, and the price is taken to be in the money of the
-- book, which is then written down: a purchase from before this layout.
ALTER TABLE purchase ADD COLUMN currency TEXT NOT NULL DEFAULT '';
