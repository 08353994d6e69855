-- results: one row for each recipe_id of lines and recipes together; errors = 0 where it could be calculated.
-- Reads lines, recipes and prepared. NULL is "not known": sum() leaves it out, and `incomplete` says so, a bit for each nutrient.
WITH {header},
-- Every line; and the returned and the plain water as one line more, of a food of its own, neither cooked nor warmed.
entry AS (
  SELECT l.recipe_id, l.food, l.method, l.grams, l.basis, l.weighed_g, l.yield, 1e0 AS counts, h.warm,
         {share} AS share,
         CASE WHEN h.recipe_id IS NULL THEN {no_recipe} ELSE 0 END AS header_errors
  FROM {lines} l LEFT JOIN header h ON h.recipe_id = l.recipe_id
  UNION ALL
  SELECT recipe_id, water_food, 'none', returned_ml + added_ml, 'edible', NULL, NULL, 0e0, 0e0, 0e0, 0
  FROM header WHERE returned_ml + added_ml > 0e0 AND returned_ml + added_ml <= {most_liquid}),
grams AS (
  SELECT /*+ BROADCAST(prep) */ l.recipe_id, l.grams, l.basis, l.weighed_g, l.yield AS own_yield, l.counts, l.warm, l.share,
         l.header_errors, prep.*, {edible} AS edible_of_line
  FROM entry l LEFT JOIN prepared prep ON prep.food = l.food AND prep.method = l.method),
sums AS (
  SELECT recipe_id, sum(counts) AS line_count, sum(counts * edible_of_line) AS edible_g,
         sum(counts * CASE WHEN basis = 'edible' THEN grams / nullif(edible_share, 0e0) ELSE grams END) AS purchased_g,
         sum(counts * {cooked}) AS cooked_g,
         CASE WHEN count(dry) = count(*) THEN sum(edible_of_line * (dry + share * dry_used)) END AS dry_g,
         min(CASE WHEN counts = 0e0 OR is_water THEN 1 ELSE 0 END) AS only_water,
         bit_or(missing) AS incomplete,
         bit_or(CASE WHEN counts = 0e0 THEN CASE WHEN food IS NULL OR drained_share <> 1e0 THEN {unknown_water} ELSE 0 END ELSE header_errors
         | {line_errors} END) AS line_errors,
         {sums}
  FROM grams GROUP BY recipe_id),
-- `blended` is the purée before the transfer loss, the whole of which every nutrient is a part.
batch AS (
  SELECT coalesce(h.recipe_id, s.recipe_id) AS id, s.*, h.well_ml, h.fill, h.cubes_per_serving,
         h.returned_ml + h.added_ml AS liquid_g, h.loss_g, h.puree_weighed_g,
         coalesce(h.puree_weighed_g, s.cooked_g + h.returned_ml + h.added_ml) AS blended,
         coalesce(s.line_errors, 0) | CASE WHEN h.copies > 1 THEN {recipe_twice} ELSE 0 END
         | CASE WHEN coalesce(s.line_count, 0e0) > 0e0 THEN 0 ELSE {no_lines} END
         | CASE WHEN coalesce(s.line_count, 0e0) > 0e0 AND s.only_water = 1 THEN {only_water} ELSE 0 END
         | CASE WHEN h.recipe_id IS NULL OR ({collected_fits} AND {returned_fits}
                 AND {added_fits} AND h.returned_ml <= h.collected_ml) THEN 0 ELSE {liquid} END
         | CASE WHEN h.recipe_id IS NULL OR ({well_fits} AND {fill_fits}
                 AND {cubes_fit}) THEN 0 ELSE {tray} END AS found
  FROM header h FULL OUTER JOIN sums s ON s.recipe_id = h.recipe_id),
checked AS (
  SELECT *, blended - dry_g AS water_g,
         CASE WHEN puree_weighed_g IS NULL THEN blended - loss_g ELSE blended END AS puree_g,
         found | CASE WHEN NOT ((puree_weighed_g IS NULL OR (puree_weighed_g - puree_weighed_g = 0e0 AND puree_weighed_g > 0e0))
                 AND (loss_g IS NULL OR (loss_g - loss_g = 0e0 AND loss_g >= 0e0))
                 AND (found & {without_sums} <> 0 OR (blended - blended = 0e0 AND blended > 0e0 AND coalesce(dry_g, 0e0) <= blended
                      AND CASE WHEN puree_weighed_g IS NULL THEN loss_g < blended ELSE puree_weighed_g <= {most_times} * (cooked_g + liquid_g) END))) THEN {puree_too_light} ELSE 0 END AS errors
  FROM batch),
-- Choi and Okos 1986 at 20 degrees Celsius; where a part other than fibre and ash is not known, 1 g/ml is assumed.
dense AS (
  SELECT *, dry_g IS NULL OR coalesce(incomplete, 0) & {must} <> 0 AS density_assumed,
         CASE WHEN errors <> 0 THEN NULL WHEN dry_g IS NULL OR coalesce(incomplete, 0) & {must} <> 0 THEN 1e0 ELSE
           (water_g + {procnt} + {fat} + greatest({chocdf} - coalesce({fibtg}, 0e0), 0e0) + coalesce({fibtg}, 0e0) + coalesce({ash}, 0e0))
           / nullif(water_g / {of_water} + {procnt} / {of_protein} + {fat} / {of_fat}
                    + greatest({chocdf} - coalesce({fibtg}, 0e0), 0e0) / {of_carbohydrate} + coalesce({fibtg}, 0e0) / {of_fibre}
                    + coalesce({ash}, 0e0) / {of_ash}, 0e0) END AS density
  FROM checked),
cube AS (
  SELECT *, well_ml * fill * density AS cube_g, well_ml * fill * density * cubes_per_serving AS serving_g,
         1e2 / CASE WHEN errors = 0 THEN blended END AS factor_100g,
         well_ml * fill * density * cubes_per_serving / CASE WHEN errors = 0 THEN blended END AS factor_serving
  FROM dense)
SELECT id AS recipe_id, CAST(errors AS INT) AS errors, CAST(coalesce(line_count, 0e0) AS INT) AS line_count,
       CASE WHEN errors = 0 THEN purchased_g END AS purchased_g, CASE WHEN errors = 0 THEN edible_g END AS edible_g,
       CASE WHEN errors = 0 THEN cooked_g END AS cooked_g, CASE WHEN errors = 0 THEN liquid_g END AS liquid_g,
       CASE WHEN errors = 0 THEN puree_g END AS puree_g, density AS density_g_per_ml,
       CASE WHEN errors = 0 THEN density_assumed END AS density_assumed,
       cube_g, puree_g / nullif(cube_g, 0e0) AS cubes, serving_g, CASE WHEN errors = 0 THEN incomplete END AS incomplete,
       {out}
FROM cube
