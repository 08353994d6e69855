-- rejects: one row for each thing that is wrong; `line` is NULL where it is the recipe's. Reads results too.
WITH {header},
bad AS (SELECT recipe_id, errors FROM results WHERE errors <> 0),
line_code AS (SELECT * FROM (VALUES {of_line}) AS v(bit, code, what, hint)),
recipe_code AS (SELECT * FROM (VALUES {of_recipe}) AS v(bit, code, what, hint)),
known AS (SELECT DISTINCT food FROM prepared),
grams AS (
  SELECT /*+ BROADCAST(bad), BROADCAST(prep) */ l.recipe_id, l.line, l.food AS asked_food, l.method AS asked_method, l.grams, l.basis,
         l.weighed_g, l.yield AS own_yield, prep.food, prep.yield, prep.yield_used, prep.least, prep.least_used,
         {share} AS share, {edible} AS edible_of_line
  FROM {lines} l JOIN bad ON bad.recipe_id = l.recipe_id
       LEFT JOIN header h ON h.recipe_id = l.recipe_id
       LEFT JOIN prepared prep ON prep.food = l.food AND prep.method = l.method),
found AS (SELECT *, {line_errors} AS errors FROM grams)
SELECT f.recipe_id, CAST(f.line AS INT) AS line, c.code, c.what, c.hint, f.asked_food AS food, f.asked_method AS method, f.grams
FROM found f JOIN line_code c ON f.errors & c.bit <> 0
UNION ALL
-- An id that was a number once has lost its zeros: with them it may be known.
SELECT f.recipe_id, CAST(f.line AS INT), {unknown_code}, {no_food},
       CASE WHEN meant.food IS NULL THEN {no_food_hint} ELSE concat({lost_zeros}, meant.food, '?') END, f.asked_food, f.asked_method, f.grams
FROM found f LEFT JOIN known listed ON listed.food = f.asked_food
     LEFT JOIN known meant ON meant.food = lpad(f.asked_food, {digits}, '0') AND length(f.asked_food) < {digits}
WHERE f.food IS NULL AND listed.food IS NULL
UNION ALL
SELECT f.recipe_id, CAST(f.line AS INT), {unknown_code}, {no_method}, {no_method_hint}, f.asked_food, f.asked_method, f.grams
FROM found f WHERE f.food IS NULL AND coalesce(f.asked_method, '') NOT IN ({methods})
UNION ALL
SELECT b.recipe_id, CAST(NULL AS INT), c.code, c.what, c.hint, NULL, NULL, NULL
FROM bad b JOIN recipe_code c ON b.errors & c.bit <> 0
